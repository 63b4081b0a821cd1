/** The cover: nothing on the screen but one button. Names stay hidden behind it. `#/cover/BACK` */

import { h, replace } from "../dom.js";
import { button } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, { rest }, app) {
  const back = rest[0]?.startsWith("#/") ? rest[0] : "#/";
  app.cover();
  const on = button(t("Go on"), () => app.go(back), { class: "go-on" });
  replace(root, h("h1", { class: "unseen" }, t("Covered")), h("div", { class: "covered" }, on));
  on.focus();
  document.body.classList.add("is-covered");
  return () => document.body.classList.remove("is-covered");
}
