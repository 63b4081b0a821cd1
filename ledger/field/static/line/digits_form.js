/** The form for four digits, without a dialog: it calls `right` or `forgotten`. */

import { h } from "../dom.js";
import { t } from "../words.js";
import * as digits from "./digits.js";

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
