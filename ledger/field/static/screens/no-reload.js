/** Why this page may not open again without a network, and what to do at the field. `#/no-reload` */

import { h, replace } from "../dom.js";
import { button, goBack, headline } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, _params, app) {
  const inHotspot = app.me?.mode === "hotspot";
  replace(
    root,
    headline(t("Do not reload this page")),
    h("p", {}, t("Go on: each tap is kept on this device and sent. But this page cannot open again without the network.")),
    h("ul", { class: "sentences" }, [
      h("li", {}, t("Leave it open. Do not reload or close it.")),
      inHotspot && h("li", {}, t("Did your browser warn you about this page? Then this device does not know the league’s certificate. It is installed at home. Do not install it here.")),
      h("li", {}, t("Better: share a device that is ready, use the league’s server, or go on with paper.")),
    ]),
    button(t("Back"), () => goBack(app), { class: "first wide" }),
  );
  root.querySelector("h1").focus();
}
