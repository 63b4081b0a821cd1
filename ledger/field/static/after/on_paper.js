/** The signature in ink, always within reach: the text to copy by hand, and the list to print. */

import { h } from "../dom.js";
import { button } from "../line/parts.js";
import { t } from "../words.js";
import { printed } from "./parts.js";

/** `text` is what to copy, or null until `ask` is called; `path` is the list to print, null where nothing answers. */
export function onPaper({ text, ask, path }) {
  return [
    h("h2", {}, t("On paper instead")),
    text === null
      ? button(t("Sign the paper list now"), ask, { class: "wide" })
      : [
          h("p", {}, t("Sign the paper list now. Copy this to it by hand:")),
          h("pre", { class: "copy", tabindex: "0" }, text),
          h("p", { class: "small" }, t("Both sides sign in ink, with name and time. Then enter the signed paper here, with its picture; later will do.")),
        ],
    path && h("p", { class: "ways" }, printed(t("Print the list"), path, { class: "button" })),
  ];
}
