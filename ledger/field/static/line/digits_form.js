/** The form for four digits, without a dialog: it calls `right` or `locked`. */

import { h, replace } from "../dom.js";
import { t } from "../words.js";
import * as digits from "./digits.js";
import { button, headline, link } from "./parts.js";

export const WRONG = () => t("Those are not your digits. Try again.");

export function digitsForm(person, { right, locked }) {
  const told = h("p", { role: "status" });
  const field = digitsField(t("Your four digits"));

  async function typed() {
    if (!digits.isFour(field.value)) return;
    const found = await digits.check(person.official, field.value);
    field.value = "";
    if (found === "right") right();
    else if (found === "locked") locked();
    else told.textContent = WRONG();
  }

  field.addEventListener("input", typed);
  return h("form", { class: "digits", onsubmit: (event) => event.preventDefault() }, h("label", {}, t("Your four digits"), field), told);
}

export function digitsField(label, more) {
  return h("input", { type: "password", inputmode: "numeric", pattern: "\\d{4}", maxlength: "4", autocomplete: "off", "aria-label": label, ...more });
}

/** A field that keeps four digits for this device as the official's, then calls `done`. */
export function choosingForm(official, done) {
  const field = digitsField(t("Four digits"));
  field.addEventListener("input", async () => {
    if (!digits.isFour(field.value)) return;
    await digits.choose(official, field.value);
    done();
  });
  return h("form", { class: "digits", onsubmit: (event) => event.preventDefault() }, h("label", {}, t("Four digits"), field));
}

export const WHAT_FOR = () => t("They open this device for you again after a pause or a hand-over. They stay on it.");

/** After signing in: four digits for this device, if the official wants some; then the first screen. */
export async function askForDigits(root, app) {
  const official = app.active();
  const isDone = (await digits.areSet(official)) && !(await digits.areLocked(official));
  if (!globalThis.crypto?.subtle || isDone) return app.go("#/");
  const signs = app.person()?.roles.some(({ role, to_confirm }) => role === "weighmaster" && !to_confirm);
  const form = choosingForm(official, () => app.go("#/"));
  async function withoutDigits() {
    await digits.forget(official);
    app.go("#/");
  }

  replace(
    root,
    headline(t("Choose four digits")),
    h("p", {}, WHAT_FOR()),
    form,
    button(t("Without digits"), withoutDigits, { class: "wide" }),
    signs && h("p", { class: "ways" }, link(t("Let this phone sign for you"), "#/phone-key")),
  );
  form.querySelector("input").focus();
  return undefined;
}
