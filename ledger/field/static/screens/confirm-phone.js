/** Confirm the phone of an official who reads its code to you. For the registrar and presidents. `#/confirm-phone` */

import { get, post, wordsOf } from "../api.js";
import { h, replace } from "../dom.js";
import { headline, link } from "../line/parts.js";
import { t } from "../words.js";

const LONGEST_MS = 30_000;

export async function show(root, _params, app) {
  const person = app.person();
  const officials = await get("/api/officials");
  const who = h("select", { required: true }, h("option", { value: "" }, t("Choose")), officials.map((one) => h("option", { value: one.official }, one.name)));
  const code = h("input", { type: "text", autocomplete: "off", autocapitalize: "characters", spellcheck: "false", maxlength: "12", required: true });
  const words = person?.has_key ? h("input", { type: "password", autocomplete: "off", required: true, maxlength: "1000" }) : null;
  const told = h("p", { role: "status" });

  async function confirm(event) {
    event.preventDefault();
    if (!form.reportValidity()) return;
    told.textContent = t("One moment.");
    const body = { official: who.value, code: code.value.trim(), by: app.active(), ...(words ? { passphrase: words.value } : {}) };
    try {
      const { name } = await post("/api/phones/confirm", body, { longest: LONGEST_MS });
      told.textContent = t("Confirmed. The phone of {name} signs from now on.", { name });
      code.value = "";
    } catch (error) {
      told.textContent = wordsOf(error);
    }
    if (words) words.value = "";
  }

  const form = h(
    "form",
    { onsubmit: confirm },
    h("label", {}, t("Whose phone"), who),
    h("label", {}, t("The code on their phone"), code),
    words && h("label", {}, t("Your passphrase"), words),
    told,
    h("button", { type: "submit", class: "first wide" }, t("Confirm")),
  );
  replace(
    root,
    headline(t("Confirm a phone")),
    h("p", {}, t("Only if you know who reads the code to you. From then on their phone signs for them, and the key they had before no longer does.")),
    form,
    link(t("Back"), "#/hand-over", { class: "button wide" }),
  );
  root.querySelector("h1").focus();
}
