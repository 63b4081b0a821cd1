/** Confirm the name of somebody who signed in without a passphrase: who, and the code they tell. `#/confirm` */

import { get, post } from "../api.js";
import { h, replace } from "../dom.js";
import { headline, link } from "../line/parts.js";
import { t } from "../words.js";

export async function show(root) {
  const officials = await get("/api/officials");
  const who = h("select", { required: true }, h("option", { value: "" }, t("Choose")), officials.map((one) => h("option", { value: one.official }, one.name)));
  const code = h("input", { type: "text", inputmode: "numeric", maxlength: "6", pattern: "\\d{6}", autocomplete: "off", required: true });
  const told = h("p", { role: "status" });

  async function confirm(event) {
    event.preventDefault();
    if (!form.reportValidity()) return;
    try {
      await post("/api/confirm", { official: who.value, code: code.value.trim() });
      told.textContent = t("Confirmed: {name}.", { name: who.selectedOptions[0].textContent });
      code.value = "";
    } catch (error) {
      told.textContent = [error.message, error.hint].filter(Boolean).join(" ");
    }
  }

  const form = h(
    "form",
    { onsubmit: confirm },
    h("label", {}, t("Who signs in"), who),
    h("label", {}, t("The code they tell you"), code),
    told,
    h("button", { type: "submit", class: "first wide" }, t("Confirm")),
  );
  replace(root, headline(t("Confirm a name")), h("p", {}, t("Only if you know them: from then on they act under this name.")), form, link(t("Back"), "#/hand-over", { class: "button wide" }));
  root.querySelector("h1").focus();
}
