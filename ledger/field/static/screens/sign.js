/**
 * A team's list as on paper, and a signature to exactly this list. `#/game/G/sign/T`
 *
 * A signature never waits in the queue. Where not all taps are here, or without a network, the paper
 * list is signed, and the page gives the text to copy.
 */

import { get, post, wordsOf } from "../api.js";
import { devicesShown } from "../after/devices.js";
import { inkForm } from "../after/ink.js";
import { listShown } from "../after/list_shown.js";
import { onPaper } from "../after/on_paper.js";
import { paperText } from "../after/paper_text.js";
import { joined } from "../after/parts.js";
import { readAll } from "../db.js";
import { id } from "../device.js";
import { h, replace } from "../dom.js";
import * as digits from "../line/digits.js";
import { WRONG, digitsField } from "../line/digits_form.js";
import { button, drawer, facts, felt, headline, isToConfirm, kickoff, link, thumb } from "../line/parts.js";
import { onChange as onQueue, standing } from "../queue.js";
import { t } from "../words.js";

const LATER_MS = 1500;
const SIGNING_MS = 60_000;
const CHANGED = () => t("The list changed. Nothing was signed. Look at it again, then sign.");

export async function show(root, { game, team }, app) {
  const { model } = app;
  const path = `/api/games/${encodeURIComponent(game)}/teams/${encodeURIComponent(team)}`;
  const own = await id();
  const mine = new Set((await readAll("keys")).map((one) => one.official));
  const withDigits = new Set();
  for (const official of mine) if (await digits.areSet(official)) withDigits.add(official);
  /** Whether this phone holds the key that signs for them. */
  const isHere = (one) => Boolean(one?.has_phone_key) && mine.has(one.official);
  const side = () => model.team(team);
  const other = model.head.teams.find((one) => one.team !== team);
  const here = (place, whose = team) => `#/game/${game}/${place}/${whose}`;
  const top = facts(app, () => side().name, () => [kickoff(model.head)]);
  const list = h("div", { class: "listed" });
  const held = h("div", { class: "held" });
  const form = h("form", { class: "signing", onsubmit: sign });
  const paper = h("section", { class: "by-paper" });
  const ink = h("section", {});
  let found = null;
  let error = null;
  let timer = 0;
  let isAsked = false;
  let chosen = null;
  let gone = false;
  let readAt = "";
  const stateOf = () => `${model.edition}:${model.position}`;
  /** The field for the passphrase, or for the digits of who signs with this phone; none where one tap signs. */
  const secret = () => form.elements.passphrase ?? form.elements.digits;

  async function read() {
    let isOther = false;
    readAt = stateOf();
    try {
      const before = found?.number;
      found = await get(`${path}/list?official=${encodeURIComponent(app.active() ?? "")}`);
      isOther = before !== undefined && before !== found.number;
      error = null;
    } catch (problem) {
      if (problem.status === undefined) throw problem;
      error = problem;
    }
    if (gone) return;
    const words = secret();
    // Who has typed, or signs with one tap, must not sign another list than the one they read.
    const isTold = isOther && (words ? Boolean(words.value) : Boolean(form.elements.official));
    if (isTold && words) words.value = "";
    draw();
    if (isTold) replace(form.querySelector(".why"), CHANGED());
  }

  function draw() {
    drawList();
    drawHeld();
    drawForm();
    drawPaper();
    drawInk();
  }

  const drawList = drawer(() => [{ ...found, devices: null }, error?.message], paintList);

  function paintList() {
    if (!found) return replace(list, h("p", { class: "notice" }, error?.message ?? t("No answer from the server.")));
    return replace(list, error ? h("p", { class: "notice" }, t("No network: this is the list as it was read last.")) : null, listShown(found));
  }

  function isAll() {
    return Boolean(found) && !error && devicesShown(model, found.devices, own).isAll;
  }

  function drawHeld() {
    if (!found || error) return replace(held);
    const shown = devicesShown(model, found.devices, own);
    return replace(held, h("h2", {}, t("What each device still holds")), shown.node, shown.isAll ? null : h("p", { class: "notice" }, t("Not all is saved. Wait, or sign the paper list now.")));
  }

  const drawForm = drawer(
    () => (mayBeSigned() ? [found.signers, found.settle, side().closed_at, isToConfirm(app)] : null),
    paintForm,
  );

  const mayBeSigned = () => found && !error && !found.head.is_off && !found.waiting;

  function paintForm() {
    const before = secret();
    const hadFocus = before && document.activeElement === before;
    if (!mayBeSigned()) return replace(form);
    const may = found.signers.filter((one) => (one.has_key || isHere(one)) && !one.has_signed);
    const names = (which) => joined(found.signers.filter(which).map((one) => one.name));
    const without = names((one) => !one.has_key && !one.has_phone_key);
    const elsewhere = names((one) => one.has_phone_key && !isHere(one) && !one.has_signed);
    const first = [chosen, app.active()].map((official) => may.find((one) => one.official === official)).find(Boolean) ?? may[0];
    const choice = (one) =>
      h("label", { class: "choice" }, h("input", { type: "radio", name: "official", value: one.official, checked: one === first, required: true, onchange: () => { chosen = one.official; drawForm(true); } }), h("span", {}, h("b", {}, one.name), " ", h("span", { class: "small" }, t("for the {team}", { team: one.side_name }))));
    const codes = found.settle.codes;
    replace(
      form,
      side().closed_at ? null : h("p", { class: "notice" }, t("The weigh-in is not closed yet."), " ", link(t("Close"), here("close"))),
      isToConfirm(app) && h("p", { class: "notice" }, t("You sign, too, once someone from the league has confirmed you.")),
      may.length === 0 ? h("p", { class: "ask" }, t("Nobody else here has a key to sign with.")) : null,
      may.length
        ? [
            h("fieldset", { class: "who-signs" }, h("legend", {}, t("Who signs?")), may.map(choice)),
            codes.length ? h("div", { class: "needs" }, h("p", {}, t("Still open, and kept with your signature:")), h("ul", {}, found.settle.lines.map((text) => h("li", {}, text)))) : null,
            isHere(first)
              ? [h("p", {}, t("This phone signs for {name}. No passphrase is needed.", { name: first.name })), withDigits.has(first.official) && h("label", {}, t("Your four digits"), digitsField(t("Your four digits"), { name: "digits", required: true }))]
              : h("label", {}, t("Your passphrase"), h("input", { type: "password", name: "passphrase", autocomplete: "off", required: true, maxlength: "1000" })),
            h("p", { role: "alert", class: "why" }),
            h("button", { type: "submit", class: "first wide" }, codes.length ? t("Sign anyway") : t("Sign this list")),
          ]
        : null,
      elsewhere && h("p", { class: "small" }, t("On their own phone: {names}.", { names: elsewhere })),
      without && h("p", { class: "small" }, t("Without a key, on paper: {names}.", { names: without })),
    );
    const words = secret();
    if (words && before?.name === words.name) words.value = before.value;
    if (words && hadFocus) words.focus();
    return undefined;
  }

  async function sign(event) {
    event.preventDefault();
    const say = form.querySelector(".why");
    const go = form.querySelector("button");
    const words = secret();
    const official = new FormData(form).get("official");
    const text = go.textContent;
    replace(say);
    go.disabled = true;
    go.textContent = t("Signing");
    const said = { official, number: found.number, despite: found.settle.codes };
    const again = () => {
      go.disabled = false;
      go.textContent = text;
    };
    try {
      if (words?.name === "digits") {
        const checked = await digits.check(official, words.value);
        words.value = "";
        if (checked === "locked") return app.go("#/sign-in");
        if (checked === "wrong") {
          again();
          replace(say, WRONG());
          return words.focus();
        }
      }
      if (words?.name !== "passphrase") return await signedHere(said);
      const signed = await post(`${path}/sign`, { ...said, passphrase: words.value }, { longest: SIGNING_MS });
      words.value = "";
      felt();
      app.say(t("Signed."));
      return app.go(`#/receipt/${encodeURIComponent(signed.event)}`);
    } catch (problem) {
      if (problem.evidence) return app.go("#/other-ledger");
      if (problem.status === undefined) throw problem;
      again();
      return refused(problem, words);
    }
  }

  /** By the key of this phone, which first looks whether the ledger is still the one it knows. */
  async function signedHere({ official, number, despite }) {
    const { signList } = await import("../witness/signing.js");
    const { event, error: after } = await signList(official, { game, team, number, despite, about: { team: side().name } });
    felt();
    if (!after) {
      app.say(t("Signed."));
      return app.go(`#/receipt/${encodeURIComponent(event)}`);
    }
    const isLater = !after.status || after.status >= 500;
    app.say(isLater ? t("Signed. This phone takes the receipt by itself when it has the network.") : after.message, { stays: true });
    return read();
  }

  async function refused(problem, words) {
    const isOther = ["list_changed", "ask_despite"].includes(problem.code);
    if (words && (problem.code === "wrong_passphrase" || isOther)) words.value = "";
    if (isOther || problem.status === 0) {
      words?.blur();
      await read();
    }
    const told = isOther ? CHANGED() : wordsOf(problem);
    const say = form.querySelector(".why");
    if (say) replace(say, problem.status === 0 ? t("No answer. Look at the signatures above before you sign again.") : told);
    if (!isOther && problem.status !== 0) secret()?.focus();
  }

  const heldHere = () => standing().n + standing().aside;
  const copied = () => (isAsked || !isAll() ? paperText(model, team, heldHere(), Date.now()) : null);

  function ask() {
    isAsked = true;
    drawPaper();
    drawInk();
  }

  /** Open by itself where not all taps are here, or nothing answers. */
  const drawPaper = drawer(
    () => [copied(), error?.status],
    () => replace(paper, onPaper({ text: copied(), ask, path: error?.status === 0 ? null : `/print/list/${encodeURIComponent(game)}/${encodeURIComponent(team)}` })),
  );

  /** Apart from the text to copy, which changes with the clock: a chosen picture stays. */
  const drawInk = drawer(
    () => (mayBeSigned() && (isAsked || !isAll()) ? [found.number, found.signers, found.settle.codes] : null),
    () => replace(ink, mayBeSigned() && (isAsked || !isAll()) ? inkForm(found, path, { by: app.active(), say: app.say, done: read }) : null),
  );

  /** A list costs the server half a second: it is read again only where the game has something new. */
  function later() {
    top.draw();
    if (found) draw();
    // A tap that does not go through tells sooner than the next look at the devices.
    if (found && !error && standing().why === "network") readDevices();
    if (readAt === stateOf()) return;
    clearTimeout(timer);
    timer = setTimeout(read, LATER_MS);
  }

  async function readDevices() {
    if (!found || error) return read();
    try {
      found.devices = await get(`/api/games/${encodeURIComponent(game)}/devices`);
    } catch (problem) {
      if (problem.status === undefined) throw problem;
      error = problem;
    }
    return gone ? undefined : draw();
  }

  replace(list, h("p", { class: "small" }, t("The list is being read.")));
  replace(
    root,
    top.node,
    headline(t("The list of the {team}", { team: side().name })),
    list,
    held,
    form,
    paper,
    ink,
    thumb(app, game, link(t("Other list"), here("sign", other.team), { class: "button", "aria-label": t("Other list: {team}", { team: other.name }) }), link(t("What is left"), `#/game/${game}/left`, { class: "button" })),
  );
  root.querySelector("h1").focus({ preventScroll: true });
  await read();
  const every = setInterval(readDevices, 15_000);
  const stops = [model.onChange(later), onQueue(later), top.end, () => clearTimeout(timer), () => clearInterval(every), () => (gone = true)];
  return () => stops.forEach((stop) => stop());
}
