/**
 * The numbers of a team as large tiles in fixed places. A tile changes its look, not its place, and
 * looks the same for every answer.
 */

import { h } from "../dom.js";
import { t } from "../words.js";
import { isToCome } from "./answers.js";
import { inPlace } from "./finding.js";
import { button, short as shortOf } from "./parts.js";

/**
 * `open(child)` is called with the child of a tile. `draw(children, {aside, meant, refused})` keeps the
 * nodes: `refused` are those with an entry that needs somebody. `stateOf(child)` may say which look a
 * tile has: "due", "done", "aside", "listed", "open" or "refused".
 */
export function tiles(open, stateOf = lookOf) {
  const list = h("ul", { class: "tiles", role: "list" });
  const nodes = new Map();
  let order = "";

  function draw(children, { aside = [], meant = null, refused = [] } = {}) {
    const placed = inPlace(children);
    const twice = shared(placed);
    for (const child of placed) {
      const tile = nodes.get(child.player) ?? make(child.player);
      tile.child = child;
      paint(tile.node, child, { state: refused.includes(child.player) ? "refused" : stateOf(child, aside), isTwice: twice.has(child.number), isMeant: !meant || meant.has(child.player) });
    }
    const now = placed.map((child) => child.player).join(" ");
    if (now !== order) list.replaceChildren(...placed.map((child) => nodes.get(child.player).item));
    order = now;
  }

  function make(player) {
    const tile = { child: null };
    tile.node = button("", () => open(tile.child), { class: "tile" });
    tile.item = h("li", {}, tile.node);
    nodes.set(player, tile);
    return tile;
  }

  return { node: list, draw };
}

export function lookOf(child, aside) {
  if (child.done) return "done";
  if (aside.includes(child.player)) return "aside";
  return isToCome(child) || !child.on_roster ? "due" : "listed";
}

function paint(node, child, { state, isTwice, isMeant }) {
  const known = child.number === null || isTwice;
  const short = state === "refused" ? "!" : known ? shortOf(child) : "";
  node.replaceChildren(h("span", { class: "n" }, child.number === null ? "–" : String(child.number)), " ", short ? h("span", { class: "whose" }, short) : "");
  node.dataset.state = state;
  node.classList.toggle("unmeant", !isMeant);
  node.setAttribute("aria-label", `${child.number === null ? t("no number") : child.number}${short ? ` ${short}` : ""}, ${said(state)}`);
}

function said(state) {
  return { done: t("done"), aside: t("stepped aside"), listed: t("listed"), refused: t("needs you"), due: t("to come"), open: t("not decided") }[state];
}

function shared(children) {
  const seen = new Set();
  const twice = new Set();
  for (const { number } of children) {
    if (number === null) continue;
    if (seen.has(number)) twice.add(number);
    seen.add(number);
  }
  return twice;
}
