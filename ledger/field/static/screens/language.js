/** The language of the active official. `#/language` */

import { h, replace } from "../dom.js";
import { LANGUAGES, choose } from "../line/languages.js";
import { button, goBack, headline } from "../line/parts.js";
import { spoken, t } from "../words.js";

export function show(root, _params, app) {
  async function pick(code) {
    await choose(app.active(), code);
    goBack(app);
  }
  const choices = Object.entries(LANGUAGES).map(([code, name]) => button(name, () => pick(code), { lang: code, class: "wide", "aria-pressed": String(spoken() === code) }));
  replace(
    root,
    headline(t("Language")),
    h("p", { class: "small" }, t("It belongs to you: it changes when you hand the device over. A new language comes once its speakers have read the pages for the scale.")),
    choices,
    button(t("Back"), () => goBack(app), { class: "wide" }),
  );
  root.querySelector("h1").focus();
}
