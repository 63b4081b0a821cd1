/** Three sentences for whoever stands at the scale for the first time. `#/start-here` */

import { h, replace } from "../dom.js";
import { button, goBack, headline } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, _params, app) {
  replace(
    root,
    headline(t("Start here")),
    h(
      "ol",
      { class: "sentences" },
      h("li", {}, t("Check the scale, then tap each child’s number and tap OK or OVER.")),
      h("li", {}, t("The list and the book fill in by themselves; after OVER, tape the helmet.")),
      h("li", {}, t("A wrong tap? One button takes it back. Nothing you tap is lost.")),
    ),
    button(t("Back"), () => goBack(app), { class: "first wide" }),
  );
  root.querySelector("h1").focus();
}
