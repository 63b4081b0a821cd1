/**
 * The list before the line: choose a reason, then tap each number. One tap lists one child.
 *
 * `#/game/G/absent/T`. A number that is listed already can be taken back by who listed it.
 */

import { h, replace } from "../dom.js";
import { isToCome, listing } from "../line/answers.js";
import { button, drawer, facts, felt, headline, label, thumb } from "../line/parts.js";
import { tiles } from "../line/tiles.js";
import { withdrawals } from "../queue.js";
import { t, tn } from "../words.js";

export function show(root, { game, team }, app) {
  const { model } = app;
  const side = () => model.team(team);
  let reason = "absent";
  let asked = null;
  const texts = { absent: t("Absent"), injured: t("Injured"), over: t("Always over"), other: t("Other") };

  const top = facts(app, () => side().name, () => [tn("{n} left", "{n} left", side().children.filter(isToCome).length)]);
  const reasons = h("div", { class: "values" });
  const about = h("div", { class: "meant", "aria-live": "polite" });
  const grid = tiles(tap, (child) => (child.done ? "done" : child.listed.size ? "listed" : "due"));

  async function tap(child) {
    if (child.listed.size || child.done) {
      asked = child.player;
      return draw(true);
    }
    asked = null;
    await app.state(listing(child, team, reason));
    felt();
    app.say(t("{n} is listed.", { n: label(child) }));
    return undefined;
  }

  async function takeBack(lines) {
    await app.state(withdrawals(lines, t("Taken back at the scale.")));
    felt();
    asked = null;
    draw(true);
  }

  function drawAbout() {
    const child = asked && model.child(team, asked);
    if (!child) return replace(about);
    if (child.done) return replace(about, h("p", {}, t("{n} is weighed already.", { n: label(child) })));
    const standing = child.lists.filter((one) => !one.struck).map((one) => one.entry);
    const own = standing.filter((one) => one.by === app.active());
    const words = t("{n} is listed: {why}.", { n: label(child), why: standing.map((one) => texts[one.reason] ?? t("Gear")).join(", ") });
    return replace(
      about,
      h("p", {}, words),
      own.length
        ? button(t("Take back {n}", { n: label(child) }), () => takeBack(own), { answer: true })
        : h("p", { class: "small" }, t("It is crossed off when the child is weighed.")),
    );
  }

  function drawReasons() {
    const choice = (code) => button(texts[code], () => { reason = code; draw(true); }, { "aria-pressed": String(reason === code) });
    replace(reasons, Object.keys(texts).map(choice));
  }

  const drawn = drawer(
    () => [side().children.map((one) => [one.player, one.done, one.listed]), reason, asked],
    () => {
      drawReasons();
      drawAbout();
      grid.draw(side().children);
    },
  );

  function draw(isForced) {
    drawn(isForced);
    top.draw();
  }

  replace(
    root,
    top.node,
    h(
      "div",
      {},
      headline(t("Not here")),
      h("p", { class: "small" }, t("Choose why, then tap each number. Leave out who may be near the limit.")),
      reasons,
      about,
      grid.node,
    ),
    thumb(app, game, button(t("Done"), () => history.back(), { class: "back" })),
  );
  draw();
  root.querySelector("h1").focus({ preventScroll: true });
  const stops = [model.onChange(() => draw()), top.end];
  return () => stops.forEach((stop) => stop());
}
