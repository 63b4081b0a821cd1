/** What the screens after the line share: rows with a large number, lists in words, minutes. */

import { h, svg } from "../dom.js";
import { inPlace } from "../line/finding.js";
import { label } from "../line/parts.js";
import { nameOf } from "../names.js";
import { spoken, t, tn } from "../words.js";

const MINUTE_MS = 60_000;

/** "5, 12 and 31". */
export const joined = (texts) => new Intl.ListFormat(spoken(), { type: "conjunction" }).format(texts);

export const numbers = (children) => joined(inPlace(children).map(label));

/** A section with a row for each child, or null without any. `row(child)` gives what stands beside. */
export function rows(title, children, row, hint) {
  if (children.length === 0) return null;
  return h(
    "section",
    { class: "open" },
    h("h2", {}, title),
    hint && h("p", { class: "small" }, hint),
    h("ul", { class: "rows", role: "list" }, children.map((child) => h("li", {}, h("span", { class: "whose" }, h("b", { class: "big" }, label(child)), nameOf(child)), h("span", { class: "do" }, row(child))))),
  );
}

export const minutesSince = (when, now = Date.now()) => Math.floor((now - Date.parse(when)) / MINUTE_MS);

/** "12 minutes ago". */
export function ago(when) {
  const minutes = minutesSince(when);
  return minutes < 1 ? t("just now") : tn("{n} minute ago", "{n} minutes ago", minutes);
}

/** A receipt's code to scan, as the server drew it. */
export const codeDrawn = ({ side, path }) =>
  svg("svg", { class: "qr", viewBox: `0 0 ${side} ${side}`, role: "img", "aria-label": t("The receipt as a code to scan"), "shape-rendering": "crispEdges" }, svg("rect", { width: side, height: side, fill: "#fff" }), svg("path", { d: path, fill: "#000" }));

/** A text as a file, where the browser keeps downloads. */
export function save(app, name, text, type = "text/plain") {
  const file = h("a", { download: name, href: URL.createObjectURL(new Blob([text], { type })) });
  file.click();
  setTimeout(() => URL.revokeObjectURL(file.href), 60_000);
  app.say(t("Saved where this browser keeps downloads."));
}

/** A link that opens a page to print beside this one, so that nothing here is lost. */
export const printed = (text, path, attributes) => h("a", { href: path, target: "_blank", rel: "noopener", ...attributes }, text);
