/** A team's list as the paper has it, from the server's answer: the same lines, in the same order. */

import { h } from "../dom.js";
import { t } from "../words.js";

const name = (text) => (text ? h("span", { class: "name" }, text) : null);

/** The list's nodes: what it is of, its lines, late arrivals, signatures, what was entered since. */
export function listShown(found) {
  if (found.head.is_off) return [h("p", { class: "notice" }, t("This game is off: nobody signs for it.")), found.off.map((text) => h("p", {}, text))];
  return [strip(found), lines(found), beside(found), late(found), since(found), signatures(found)];
}

function strip({ head, control }) {
  const said = [
    [t("Limit"), control.limit],
    [t("Check weight read"), control.checks || t("no entry")],
    [t("Weighed"), control.weighed],
    [t("Weighed by"), control.weighed_by || "–"],
    [t("Kickoff"), head.kickoff],
  ];
  return h("dl", { class: "control" }, said.map(([term, value]) => h("div", {}, h("dt", {}, term), h("dd", {}, value))));
}

function lines(found) {
  if (found.waiting) return h("p", { class: "ask" }, found.waiting);
  if (!found.lines.length) return h("p", { class: "ask" }, t("Nobody is on this list."));
  const head = [t("No."), t("Name, on the list for"), t("In this game")];
  return h(
    "table",
    { class: "list", role: "table" },
    h("caption", { class: "unseen" }, t("The list")),
    h("thead", { role: "rowgroup" }, h("tr", { role: "row" }, head.map((text) => h("th", { scope: "col", role: "columnheader" }, text)))),
    h("tbody", { role: "rowgroup" }, found.lines.map(line)),
  );
}

// On a phone a row is a grid (screens-talk.css), which may be no row to a screen reader: so each says its role.

function line(one) {
  const reason = (listing) =>
    h(
      "p",
      {},
      listing.struck_at ? h("s", {}, listing.reason) : h("b", {}, listing.reason),
      h("span", { class: "small" }, ` ${listing.at}, ${listing.by}`),
      listing.late ? h("span", { class: "small" }, ` (${listing.late})`) : null,
      listing.struck_at ? h("span", {}, ` ${t("Struck off {time}, {by}", { time: listing.struck_at, by: listing.struck_by })}`) : null,
    );
  return h(
    "tr",
    { role: "row" },
    h("th", { scope: "row", role: "rowheader" }, h("b", { class: "big" }, one.number === null ? "–" : String(one.number))),
    h("td", { role: "cell" }, name(one.name), one.listings.map(reason)),
    h("td", { role: "cell" }, one.verdicts.map((verdict) => h("p", {}, verdict.holds_back ? h("b", {}, verdict.text) : verdict.text)), one.because ? h("p", { class: "small" }, `(${one.because})`) : null),
  );
}

/** Until when the others may come, and which weighs a reviewer still has to judge. */
function beside(found) {
  return [found.not_yet, ...found.doubts].map((text) => (text ? h("p", { class: "small" }, text) : null));
}

function late(found) {
  if (!found.late.length) return null;
  return [h("h2", {}, t("Late arrivals")), h("ul", {}, found.late.map((one) => h("li", {}, h("b", {}, one.number), ` ${one.at}, ${one.result}, ${one.by}`)))];
}

function since(found) {
  if (!found.since.length) return null;
  const notes = [...new Set(found.since.map((one) => one.note).filter(Boolean))];
  if (found.recorded) notes.unshift(t("Recorded {time}, except where an entry has another time.", { time: found.recorded }));
  const said = notes.map((text) => h("p", { class: "small" }, text));
  return [h("h2", {}, t("Since it was signed")), said, h("ul", {}, found.since.map((one) => h("li", {}, one.text, one.statements.map((text) => h("p", { class: "small" }, text)))))];
}

function signatures(found) {
  const row = (one) =>
    h(
      "li",
      {},
      h("b", {}, one.side),
      ": ",
      one.how ? `${one.name}, ${one.signed_at}. ${one.how[0].toUpperCase()}${one.how.slice(1)}. ` : t("not signed yet"),
      one.how ? (one.is_whole ? one.state : h("b", {}, one.state)) : null,
    );
  return [h("h2", {}, t("Signatures")), h("ul", { class: "plain" }, found.signatures.map(row)), h("p", { class: "small" }, t("Number of this list: {number}", { number: found.short_number }))];
}
