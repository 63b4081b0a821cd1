/**
 * Paper at any time: go on with a pen from now, print what is there or copy it by hand, and type the
 * sheet in later. `#/game/G/paper`
 */

import { numbers, printed } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { isToCome, mayStillCome } from "../line/answers.js";
import { inPlace } from "../line/finding.js";
import { weighedBy } from "../line/moment.js";
import { button, clock, goBack, headline, label, link, thumb } from "../line/parts.js";
import * as table from "../line/table.js";
import { t } from "../words.js";

export async function show(root, { game }, app) {
  const { model } = app;
  const { head } = model;
  const here = encodeURIComponent(game);
  const mine = weighedBy(app);
  const teams = [...head.teams].sort((one, other) => (other.team === mine) - (one.team === mine));
  const top = h("div", {});
  let paper = await table.paper(game);

  const of = (team) => [
    printed(t("The list, as it stands"), `/print/list/${here}/${encodeURIComponent(team)}`, { class: "button" }),
    printed(t("Empty list"), `/print/blank-list/${here}/${encodeURIComponent(team)}`, { class: "button" }),
    printed(t("Play count"), `/print/play-count/${here}/${encodeURIComponent(team)}`, { class: "button" }),
  ];

  async function goOn() {
    paper = { since: new Date().toISOString(), last: null };
    await table.setPaper(game, paper);
    draw();
    top.querySelector("a").focus();
  }

  async function notAtAll() {
    paper = null;
    await table.setPaper(game, null);
    draw();
  }

  function isAllIn({ team }) {
    const { children, closed_at } = model.team(team);
    return !closed_at && children.some((child) => child.done) && !children.some(isToCome);
  }

  function draw() {
    replace(
      top,
      paper
        ? h("div", { class: "needs" }, h("p", {}, h("b", {}, t("On paper since {time}.", { time: clock(head, paper.since) })), " ", t("Write number, answer and time.")), teams.map((one) => link(t("Type in from paper: {team}", { team: one.name }), `#/game/${here}/from-paper/${encodeURIComponent(one.team)}`, { class: "button wide" })), button(t("No paper after all"), notAtAll, { class: "quiet" }))
        : button(t("Go on with paper from now"), goOn, { class: "first wide" }),
      teams.filter(isAllIn).map((one) => [h("p", {}, h("b", {}, t("{team}: all in.", { team: one.name }))), link(t("Next: close the {team}", { team: one.name }), `#/game/${here}/close/${encodeURIComponent(one.team)}`, { class: "button wide" })]),
    );
  }

  /** What a pen must know where nothing prints: who is left, and the list so far. */
  function byHand(team) {
    const { children } = model.team(team);
    const left = inPlace(children.filter(isToCome));
    const later = children.filter(mayStillCome);
    const reasons = { over: t("over"), absent: t("absent"), injured: t("injured"), equipment: t("gear"), other: t("other") };
    const listed = inPlace(children.filter((child) => child.listed.size));
    return [
      h("p", {}, t("Still to weigh:")),
      left.length ? h("p", { class: "numbers" }, left.map((child) => h("span", {}, label(child)))) : h("p", {}, t("nobody")),
      later.length ? h("p", {}, t("Listed, may still come: {numbers}.", { numbers: numbers(later) })) : null,
      h("details", {}, h("summary", {}, t("The list, to copy by hand")), listed.length ? h("ul", {}, listed.map((child) => h("li", {}, `${label(child)}: ${[...child.listed].map((one) => reasons[one]).join(", ")}`))) : h("p", {}, t("Nobody is on this list."))),
    ];
  }

  replace(
    root,
    h(
      "div",
      { class: "papers" },
      headline(t("Paper")),
      top,
      h("p", { class: "small" }, t("The papers below open in a new tab, ready to print. No printer? Copy the numbers.")),
      teams.map((one) => h("section", {}, h("h2", {}, one.name), byHand(one.team), h("p", { class: "ways" }, of(one.team)))),
      h("h2", {}, t("For the table")),
      h("p", { class: "ways" }, printed(t("The card, step by step"), `/print/card/${here}`, { class: "button" })),
    ),
    thumb(app, game, button(t("Back"), () => goBack(app, `#/game/${here}`), { class: "back" })),
  );
  draw();
  root.querySelector("h1").focus();
  return () => {};
}
