/** How the line works, to read whenever there is a moment. `#/start-here` */

import { replace } from "../dom.js";
import { howItWorks } from "../line/how.js";
import { button, goBack, headline } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, _params, app) {
  replace(root, headline(t("How it works")), howItWorks(), button(t("Back"), () => goBack(app), { class: "first wide" }));
  root.querySelector("h1").focus();
}
