/**
 * A child who comes after the close: how the half stands, what it means for play by the league's
 * rule, and the numbers that may still come. `#/game/G/late/T`
 *
 * The answer itself is the line's screen: there the listing is crossed off where the child may play.
 */

import { ago } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { button, clock, drawer, facts, headline, label, link, thumb } from "../line/parts.js";
import { tiles } from "../line/tiles.js";
import { t } from "../words.js";

const EVERY_MS = 10_000;

export function show(root, { game, team }, app) {
  const { model } = app;
  const side = () => model.team(team);
  const here = (place) => `#/game/${game}/${place}/${team}`;
  const top = facts(app, () => side().name, () => [side().closed_at ? t("closed {time}", { time: clock(model.head, side().closed_at) }) : t("not closed yet")]);
  const said = h("div", { class: "late" });
  const grid = tiles((child) => app.go(`${here("child")}/${encodeURIComponent(child.player)}`));
  const coming = () => side().children.filter((child) => child.on_roster && !child.done && !child.declared);

  function half() {
    const { head, fold } = model;
    const first = fold.half_ended[1];
    if (first) return t("The first half ended at {time}.", { time: clock(head, first.at) });
    if (Date.parse(head.kickoff) > Date.now()) return t("Kickoff is at {time}. The first half is still to come.", { time: clock(head, head.kickoff) });
    return t("The first half goes on. Kickoff was {ago}.", { ago: ago(head.kickoff) });
  }

  function rule() {
    const { head, fold } = model;
    if (!side().closed_at) return [h("p", { class: "ask" }, t("The weigh-in is still open: weigh as usual."))];
    if (head.late_players === "none") return no(t("By the league’s rule, a child who comes after the close does not play today."));
    if (fold.half_ended[1]) return no(t("By the league’s rule, a child who comes after the first half does not play today."));
    const means = head.late_players === "whole_game" ? t("Weigh now: then the child plays.") : t("Weigh now: the child plays in the second half.");
    return [h("p", { class: "ask" }, means), h("p", { class: "small" }, t("The weighmaster who has the list weighs. The minimum of plays counts for late children too."))];
  }

  /** Kind, and without any blame: the child is welcome with the team. */
  const no = (why) => [
    h("p", { class: "ask" }, t("Thank you for coming. Today you can be with your team on the sideline, but not play.")),
    h("p", {}, why),
    h("p", { class: "small" }, t("Say it to the parent and the coach, away from the field. Questions go to the site official. You may still weigh a child who wishes to be weighed.")),
  ];

  const drawn = drawer(
    () => [half(), side().closed_at, coming().map((one) => [one.player, one.listed])],
    () => {
      replace(said, headline(t("A late child")), h("p", { class: "limit" }, half()), rule(), coming().length ? h("h2", {}, t("Who came?")) : h("p", {}, t("Everybody on the roster was at the scale.")));
      grid.draw(coming());
    },
  );

  function draw() {
    drawn();
    top.draw();
  }

  replace(
    root,
    top.node,
    said,
    grid.node,
    h("p", { class: "ways small" }, link(t("Other number"), here("other-number")), link(t("I will weigh late children"), here("take-over")), link(t("Sign the list"), here("sign"))),
    thumb(app, game, button(t("Back"), () => history.back(), { class: "back" })),
  );
  draw();
  root.querySelector("h1").focus({ preventScroll: true });
  const timer = setInterval(draw, EVERY_MS);
  const stops = [model.onChange(draw), top.end, () => clearInterval(timer)];
  return () => stops.forEach((stop) => stop());
}
