/**
 * Hand over: tap your own name, type your four digits if you chose some. Everyone who is signed in on
 * this device stays signed in, and each acts under their own name. First who takes over; what is about
 * others' names and this device stands below. `#/hand-over`
 */

import * as along from "../along/along.js";
import { post } from "../api.js";
import { readAll } from "../db.js";
import { h, replace } from "../dom.js";
import { digitsForm } from "../line/digits_form.js";
import * as digits from "../line/digits.js";
import { handTo } from "../line/languages.js";
import { button, headline, keepingFocus, link } from "../line/parts.js";
import { OFFICES } from "../line/roles.js";
import { waiting } from "../queue.js";
import { t, tn } from "../words.js";

export async function show(root, _params, app) {
  const people = () => app.me?.people ?? [];
  const keys = await readAll("keys");
  let isAsking = false;

  async function take(person) {
    if (await digits.areSet(person.official)) return ask(person);
    return done(person);
  }

  function ask(person) {
    isAsking = true;
    const form = digitsForm(person, { right: () => done(person), locked: () => app.go("#/sign-in") });
    replace(root, headline(person.name), form, button(t("Back"), begin, { class: "wide" }));
    form.querySelector("input").focus();
  }

  async function done(person) {
    await handTo(app, person.official);
    app.uncover();
    app.say(t("You are {name}.", { name: person.name }));
    app.go("#/");
  }

  async function leave() {
    const { official, name } = app.person() ?? { official: app.active(), name: "" };
    try {
      await post("/api/sign-out", { official });
    } catch (error) {
      return app.say(error.message);
    }
    // Where this device signs for them, their digits also guard that.
    if (!keys.some((one) => one.official === official)) await digits.forget(official);
    await along.forget();
    await app.signedIn();
    const n = waiting().filter((act) => act.by === official).length;
    if (n) app.say(tn("{n} tap by {name} waits on this phone. It goes when {name} signs in again.", "{n} taps by {name} wait on this phone. They go when {name} signs in again.", n, { name }), { stays: true });
    return app.go(app.me?.people.length ? "#/hand-over" : "#/sign-in");
  }

  function draw() {
    const { key } = app.person() ?? {};
    const hasKey = keys.some(({ official, counts, line }) => official === app.active() && (counts || line === key?.line));
    const mayMakeKeys = app.person()?.roles.some(({ role }) => OFFICES.has(role));
    const isActive = (person) => person.official === app.active();
    const others = people().filter((one) => !isActive(one));
    const row = (person) => {
      const more = [isActive(person) ? t("now") : t("takes over"), (!person.is_confirmed || person.roles.some((one) => one.to_confirm)) && t("to be confirmed")].filter(Boolean).join(", ");
      return h("li", {}, button([h("b", {}, person.name), h("span", {}, more)], () => take(person), { class: others.length === 1 && !isActive(person) ? "tick first" : "tick", "aria-pressed": String(isActive(person)) }));
    };
    replace(
      root,
      headline(t("Who has the device?")),
      people().length ? h("ul", { class: "plain", role: "list" }, [...others, ...people().filter(isActive)].map(row)) : h("p", {}, t("No network: the names are not here now.")),
      link(t("Someone else signs in"), "#/sign-in", { class: others.length ? "button wide" : "button wide first" }),
      link(t("Back"), "#/", { class: "button wide" }),
      group(t("Let others in"), link(t("Confirm someone’s name"), "#/confirm"), mayMakeKeys && link(t("Confirm a phone"), "#/confirm-phone")),
      group(t("Your signature"), !mayMakeKeys && link(hasKey ? t("This phone signs for you") : t("Let this phone sign for you"), "#/phone-key"), keys.length > 0 && link(t("Receipts on this phone"), "#/receipts")),
      group(t("Your sign-in"), link(t("Who is signed in where"), "#/sessions"), button(t("Sign out"), leave, { class: "quiet" })),
    );
  }

  const group = (title, ...ways) => ways.some(Boolean) && h("section", {}, h("h2", {}, title), h("p", { class: "small ways" }, ways));

  function begin() {
    isAsking = false;
    draw();
    root.querySelector("h1").focus();
  }

  begin();
  // Somebody may have been confirmed since this page last asked.
  const before = JSON.stringify(people());
  app.signedIn().then(() => !isAsking && root.isConnected && JSON.stringify(people()) !== before && keepingFocus(draw)).catch(() => {});
}
