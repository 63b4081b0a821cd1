/** A photo or scan of a sheet, to type from. It is shown from this device and goes nowhere. */

import { h, replace } from "../dom.js";
import { t } from "../words.js";

/** `{node, end}`: a field to choose a picture, which then stands in its place; `end` lets go of it. */
export function photo() {
  const shown = h("div", { class: "sheet", hidden: true, tabindex: "0", role: "region", "aria-label": t("The sheet") });
  const file = h("input", { type: "file", accept: "image/*", onchange: choose });
  let address = null;

  function end() {
    if (address) URL.revokeObjectURL(address);
    address = null;
  }

  function choose() {
    end();
    const [picture] = file.files;
    shown.hidden = !picture;
    if (!picture) return;
    address = URL.createObjectURL(picture);
    replace(shown, h("img", { src: address, alt: t("The sheet, as photographed") }));
  }

  return { node: h("div", { class: "photo" }, h("label", {}, t("Photo or scan (it stays on this device)"), file), shown), end };
}
