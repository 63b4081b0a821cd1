/** The form for four digits, without a dialog: it calls `right` or `forgotten`. */

import { h, replace } from "../dom.js";
import { t } from "../words.js";
import * as digits from "./digits.js";
import { button, headline, link } from "./parts.js";

export function digitsForm(person, { right, forgotten }) {
  const told = h("p", { role: "status" });
  const field = digitsField(t("Your four digits"));

  async function typed() {
    if (!digits.isFour(field.value)) return;
    const found = await digits.check(person.official, field.value);
    field.value = "";
    if (found === "right") right();
    else if (found === "forgotten") forgotten();
    else told.textContent = t("Those are not your digits. Try again.");
  }

  field.addEventListener("input", typed);
  return h("form", { class: "digits", onsubmit: (event) => event.preventDefault() }, h("label", {}, t("Your four digits"), field), told);
}

export function digitsField(label) {
  return h("input", { type: "password", inputmode: "numeric", pattern: "\\d{4}", maxlength: "4", autocomplete: "off", "aria-label": label });
}

/** After signing in: four digits for this device, if the official wants some; then the first screen. */
export async function askForDigits(root, app) {
  const official = app.active();
  if (!globalThis.crypto?.subtle || (await digits.areSet(official))) return app.go("#/");
  const isWeighmaster = app.person()?.roles.some(({ role }) => role === "weighmaster");
  const field = digitsField(t("Four digits"));
  field.addEventListener("input", async () => {
    if (!digits.isFour(field.value)) return;
    await digits.choose(official, field.value);
    app.go("#/");
  });
  replace(
    root,
    headline(t("Choose four digits")),
    h("p", {}, t("You type them to take this device back after a hand-over, and to see children’s names again after a pause. They stay on this device.")),
    h("form", { class: "digits", onsubmit: (event) => event.preventDefault() }, h("label", {}, t("Four digits"), field)),
    button(t("Without digits"), () => app.go("#/"), { class: "wide" }),
    isWeighmaster && h("p", { class: "ways" }, link(t("Let this phone sign for you"), "#/phone-key")),
  );
  field.focus();
  return undefined;
}
