/**
 * Sign in: choose your name, then the passphrase of your key; or without one, and somebody who may
 * confirms your name. Then four digits for this device, if you like. `#/sign-in`
 */

import { get, post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import * as digits from "../line/digits.js";
import { askForDigits, digitsForm } from "../line/digits_form.js";
import { find } from "../line/finding.js";
import { handTo } from "../line/languages.js";
import { button, headline, link } from "../line/parts.js";
import { roleName } from "../line/roles.js";
import { waiting } from "../queue.js";
import { t, tn } from "../words.js";
import * as keys from "../witness/keys.js";

const SHOWN_FIRST = 12;
const ASK_EVERY_MS = 4000;

export async function show(root, { rest }, app) {
  let timer = 0;
  if (app.person()?.new && rest?.[0] === "code") {
    location.replace("#/new-here/code");
    return () => {};
  }
  let officials = await get("/api/officials");
  if (rest?.[0] === "code" && app.person() && !app.person().is_confirmed) tellCode();
  else chooseName();
  return () => clearInterval(timer);

  function chooseName() {
    const list = h("ul", { class: "plain", role: "list" });
    const more = h("p", { class: "small" });
    const field = h("input", { type: "search", autocomplete: "off", spellcheck: "false", oninput: draw });
    function draw() {
      const found = field.value.trim() ? find(officials, field.value).all : officials;
      const shown = found.slice(0, SHOWN_FIRST);
      replace(list, shown.map((one) => h("li", {}, button([h("b", {}, one.name), h("span", {}, one.roles.map(roleName).join(", "))], () => pick(one), { class: "tick" }))));
      more.textContent = found.length > shown.length ? t("Type letters of your name to see more.") : found.length ? "" : t("No name has these letters. Ask the registrar, or say that you are new here.");
    }
    const form = h("form", { onsubmit: (event) => { event.preventDefault(); list.querySelector("button")?.click(); } }, h("label", {}, t("Your name"), field));
    replace(root, headline(t("Who are you?")), held(), link(t("I am new here"), "#/new-here", { class: "button wide" }), form, list, more, app.me?.people.length ? link(t("Back"), "#/hand-over", { class: "button wide" }) : h("p", { class: "ways" }, link(t("How it works"), "#/start-here")));
    draw();
    field.focus();
  }

  /** What is left on a phone whose people were signed out: nothing of it is lost, or taken in. */
  function held() {
    const n = waiting().length;
    return n && !app.me?.people.length ? h("p", {}, tn("{n} tap waits on this phone. It goes when the person who tapped signs in again.", "{n} taps wait on this phone. They go when the person who tapped signs in again.", n)) : null;
  }

  async function pick(chosen) {
    const told = h("p", { role: "alert" });
    // A key may have been made, or a phone confirmed, since this page was opened.
    officials = await get("/api/officials").catch(() => officials);
    const person = officials.find((one) => one.official === chosen.official) ?? chosen;
    const record = await keys.of(person.official);
    const way = person.has_phone_key && record ? await withPhone(record, told) : person.has_key ? withKey(person, told) : withoutKey(person, told, record);
    replace(root, headline(person.name), way, button(t("Another name"), chooseName, { class: "wide" }));
    (root.querySelector("input") ?? root.querySelector("h1")).focus();
  }

  /** Signs in and goes on; says what went wrong in `told`. */
  async function enter(body, told, signIn = () => post("/api/sign-in", body)) {
    told.textContent = t("One moment.");
    try {
      await signIn();
    } catch (error) {
      told.textContent = wordsOf(error);
      return;
    }
    await app.signedIn();
    await handTo(app, body.official);
    app.uncover();
    if (app.person()?.is_confirmed) await askForDigits(root, app);
    else tellCode();
  }

  function withKey({ official }, told) {
    const field = h("input", { type: "password", autocomplete: "current-password", required: true });

    async function signIn(event) {
      event.preventDefault();
      if (!form.reportValidity()) return;
      await enter({ official, passphrase: field.value }, told);
      field.value = "";
      if (field.isConnected) field.focus();
    }

    const form = h("form", { onsubmit: signIn }, h("label", {}, t("Your passphrase"), field), told, h("button", { type: "submit", class: "first wide" }, t("Sign in")));
    return [form, button(t("No passphrase: have my name confirmed"), () => enter({ official }, told), { class: "wide" })];
  }

  /** The phone that signs for somebody signs them in, too; by their digits, if they chose some. */
  async function withPhone(record, told) {
    const { official } = record;
    if (await digits.areLocked(official)) {
      return [h("p", {}, t("Wrong digits were typed five times, so someone confirms your name.")), told, button(t("Have my name confirmed"), () => enter({ official }, told), { class: "first wide" })];
    }
    const signIn = () => enter({ official }, told, () => keys.signIn(record));
    return [
      h("p", {}, t("This phone has your key.")),
      told,
      (await digits.areSet(official)) ? digitsForm(record, { right: signIn, locked: () => pick(record) }) : button(t("Sign in"), signIn, { class: "first wide" }),
      button(t("Have my name confirmed instead"), () => enter({ official }, told), { class: "wide" }),
    ];
  }

  function withoutKey({ official, roles, has_phone_key: isElsewhere }, told, record) {
    const why = isElsewhere
      ? t("Another phone signs for you, so someone confirms your name here.")
      : record?.counts ? t("The key of this phone was ended, so someone confirms your name.") : t("You have no passphrase yet, so someone confirms your name.");
    return [
      h("p", {}, why, roles.includes("weighmaster") && !isElsewhere && [" ", t("You can weigh; you sign the list in ink.")]),
      told,
      button(t("That is me"), () => enter({ official }, told), { class: "first wide" }),
    ];
  }

  /** Shown until somebody has confirmed: nobody reads a game before that. */
  function tellCode() {
    const terminal = h("input", { type: "text", inputmode: "numeric", maxlength: "6", autocomplete: "off" });
    const told = h("p", { role: "alert" });
    const isHere = app.me?.mode === "loopback";
    const asked = isHere ? t("Type the code shown where weighbook serve was started") : t("Or the code from the computer that runs this page");
    const form = h("form", { onsubmit: typed }, h("label", {}, asked, terminal), told, h("button", { type: "submit", class: isHere ? "first wide" : "wide" }, t("Confirm")));
    const telling = [
      h("p", {}, isHere ? t("Or tell this code to the site official, a board member, a president or the registrar:") : t("Tell this code to the site official, a board member, a president or the registrar:")),
      h("p", { class: "code" }, app.person()?.code ?? ""),
      h("p", { class: "small" }, t("They find Confirm someone’s name under their initials. This page goes on by itself.")),
    ];

    async function typed(event) {
      event.preventDefault();
      try {
        await post("/api/confirm", { official: app.active(), terminal: terminal.value.trim() });
        await app.signedIn();
        await confirmed();
      } catch (error) {
        told.textContent = wordsOf(error);
      }
    }

    async function look() {
      await app.signedIn().catch(() => {});
      if (app.person()?.is_confirmed) await confirmed();
    }

    async function confirmed() {
      clearInterval(timer);
      await askForDigits(root, app);
    }

    replace(root, headline(t("Have your name confirmed")), isHere ? [form, telling] : [telling, form]);
    root.querySelector("h1").focus();
    timer = setInterval(look, ASK_EVERY_MS);
  }
}
