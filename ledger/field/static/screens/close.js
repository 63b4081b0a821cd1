/**
 * Closing a team's weigh-in: who is unaccounted for, what is open, each settled with one tap.
 *
 * `#/game/G/close/T`. It works without a network: all of it comes from what this device knows.
 */

import { isSettled, openOf, settling } from "../after/open.js";
import { numbers, rows } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { listing } from "../line/answers.js";
import { button, clock, drawer, facts, felt, headline, kickoff, label, link, thumb } from "../line/parts.js";
import * as names from "../names.js";
import { withdrawals } from "../queue.js";
import { t } from "../words.js";

const MOST_ROWS = 8;

export function show(root, { game, team }, app) {
  const { model } = app;
  const side = () => model.team(team);
  const here = (place) => `#/game/${game}/${place}/${team}`;
  const top = facts(app, () => side().name, () => [kickoff(model.head)]);
  const body = h("div", { class: "closing" });

  async function state(entries, said) {
    await app.state(entries);
    felt();
    if (said) app.say(said);
  }

  const settle = (code, text) => (child) =>
    button(text, () => state(settling[code](child, team), t("{n} is settled.", { n: label(child) })), { "aria-label": `${label(child)}: ${text}` });

  function reasons(child) {
    const list = (text, reason) =>
      button(text, () => state(listing(child, team, reason), t("{n} is listed.", { n: label(child) })), { "aria-label": `${label(child)}: ${text}` });
    return [weigh(child), list(t("Absent"), "absent"), list(t("Gear"), "equipment"), list(t("Injured"), "injured"), list(t("Other"), "other")];
  }

  const weigh = (child) =>
    link(t("Weigh"), `${here("child")}/${encodeURIComponent(child.player)}`, { class: "button", "aria-label": t("{n}: weigh", { n: label(child) }) });

  function untape(child) {
    const own = child.stripes.filter((one) => one.by === app.active());
    if (own.length < child.stripes.length) return h("span", { class: "small" }, t("The official who wrote it down takes it back."));
    const text = t("Tape is off");
    return button(text, () => state(withdrawals(own, t("The tape came off.")), t("{n} is settled.", { n: label(child) })), { "aria-label": `${label(child)}: ${text}` });
  }

  function missing(children) {
    const title = t("Not weighed, not listed");
    if (children.length <= MOST_ROWS) return rows(title, children, reasons);
    return h(
      "section",
      { class: "open" },
      h("h2", {}, title),
      h("ul", { class: "tiles", role: "list" }, children.map((child) => h("li", {}, link(label(child), `${here("child")}/${encodeURIComponent(child.player)}`, { class: "button tile" })))),
      h("p", {}, link(t("List who is not here"), here("absent"), { class: "button" })),
    );
  }

  function sections(open) {
    return [
      missing(open.missing),
      rows(t("Listed in advance, not at the scale yet"), open.to_come, weigh),
      rows(t("To add to the list, with tape on the helmet"), open.not_listed, settle("not_listed", t("Listed, tape is on"))),
      rows(t("No tape written down"), open.not_striped, settle("not_striped", t("Tape is on"))),
      rows(t("Carrying is not decided"), open.undecided, (child) => link(t("Write down the question"), `${here("objection")}/${encodeURIComponent(child.player)}`, { class: "button" }), t("No usable scale, and no mark in the book. Nobody guesses: ask the site official for a ruling.")),
      rows(t("Listed, and weighed ok"), open.listed_ok, settle("listed_ok", t("Cross off"))),
      rows(t("Listed as not here, and weighed"), open.not_struck, settle("not_struck", t("Cross off"))),
      rows(t("Listed injured, and weighed"), open.injured, settle("injured", t("Cross off")), t("Ask the site official, away from the child.")),
      rows(t("Tape to take off"), open.striped_ok, untape),
    ];
  }

  /** What stays open if one goes on, named. */
  function stays(open) {
    const said = [
      [open.missing, t("not weighed, not listed")],
      [open.to_come, t("listed in advance, not weighed")],
      [open.not_listed, t("to add to the list")],
      [open.not_striped, t("no tape")],
      [open.undecided, t("not decided")],
      [[...open.listed_ok, ...open.not_struck, ...open.injured], t("to cross off")],
      [open.striped_ok, t("tape to take off")],
    ];
    return said.filter(([children]) => children.length).map(([children, what]) => h("li", {}, `${numbers(children)}: ${what}`));
  }

  async function close() {
    await state([{ kind: "close", team }], t("The weigh-in is closed."));
    app.go(here("sign"));
  }

  async function reopen(closes) {
    await state(withdrawals(closes, t("Closed too early.")), t("The weigh-in is open again."));
  }

  function closed() {
    const own = model.entries.filter((one) => one.kind === "close" && one.team === team && one.at === side().closed_at && one.by === app.active());
    return [
      link(t("Sign the list"), here("sign"), { class: "button first wide" }),
      own.length ? button(t("It is not closed: take back"), () => reopen(own), { class: "wide" }) : null,
    ];
  }

  const drawn = drawer(
    () => [openOf(side()), side().closed_at, names.areCovered()],
    () => {
      const open = openOf(side());
      const isDone = isSettled(open);
      const { closed_at } = side();
      replace(
        body,
        headline(closed_at ? t("Closed at {time}", { time: clock(model.head, closed_at) }) : t("Close the {team}", { team: side().name })),
        isDone ? h("p", { class: "ask" }, t("Everybody is weighed or listed.")) : null,
        sections(open),
        closed_at
          ? closed()
          : [
              isDone ? null : h("div", { class: "needs" }, h("p", {}, t("If you close now, this stays open:")), h("ul", {}, stays(open))),
              button(isDone ? t("Close the weigh-in") : t("Close anyway"), close, { answer: true, class: isDone ? "first wide" : "wide" }),
            ],
      );
    },
  );

  function draw() {
    const wasInside = body.contains(document.activeElement);
    drawn();
    top.draw();
    if (wasInside && !body.contains(document.activeElement)) body.querySelector("h1").focus({ preventScroll: true });
  }

  replace(root, top.node, body, thumb(app, game, link(t("Numbers"), here("weigh"), { class: "button back" })));
  draw();
  root.querySelector("h1").focus({ preventScroll: true });
  const stops = [model.onChange(draw), names.onCover(draw), top.end];
  return () => stops.forEach((stop) => stop());
}
