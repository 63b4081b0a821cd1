/** How the line works, in three sentences: for whoever stands at the scale for the first time. */

import { h } from "../dom.js";
import { t } from "../words.js";

export const howItWorks = () => h(
  "ol",
  { class: "sentences" },
  h("li", {}, t("Check the scale, then tap each child’s number and tap OK or OVER.")),
  h("li", {}, t("The list and the book fill in by themselves; after OVER, tape the helmet.")),
  h("li", {}, t("A wrong tap? One button takes it back. Nothing you tap is lost.")),
);
