/**
 * The list before the line: choose a reason, then tap each number. One tap lists one child.
 *
 * `#/game/G/absent/T`. A number that is listed already can be taken back by who listed it.
 */

import { h, replace } from "../dom.js";
import { isToCome, listing } from "../line/answers.js";
import { button, drawer, facts, felt, goBack, headline, label, thumb } from "../line/parts.js";
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
  const last = h("div", { class: "last" });
  const grid = tiles(tap, (child) => (child.done ? "done" : child.listed.size ? "listed" : "due"));

  async function tap(child) {
    asked = child.player;
    if (child.listed.size || child.done) {
      app.say(child.done ? told(child) : t("{n} is listed.", { n: label(child) }));
      return draw(true);
    }
    await app.state(listing(child, team, reason));
    felt();
    app.say(t("{n} is listed.", { n: label(child) }));
    return undefined;
  }

  const standing = (child) => child.lists.filter((one) => !one.struck).map((one) => one.entry);

  function told(child) {
    const n = label(child);
    if (child.done) return t("{n} is weighed already.", { n });
    return t("{n}: {why}.", { n, why: standing(child).map((one) => texts[one.reason] ?? t("Gear")).join(", ") });
  }

  async function takeBack(lines) {
    asked = null;
    await app.state(withdrawals(lines, t("Taken back at the scale.")));
    felt();
  }

  /** What the child tapped last is listed for; who listed it takes it back here. */
  function drawLast() {
    const child = asked && model.child(team, asked);
    if (!child) return replace(last);
    const own = child.done ? [] : standing(child).filter((one) => one.by === app.active());
    if (!own.length) return replace(last, h("p", { class: "small" }, told(child)));
    return replace(last, button([h("span", {}, told(child)), h("b", {}, t("Take back {n}", { n: label(child) }))], () => takeBack(own), { answer: true }));
  }

  function drawReasons() {
    const choice = (code) => button(texts[code], () => { reason = code; draw(true); }, { "aria-pressed": String(reason === code) });
    replace(reasons, Object.keys(texts).map(choice));
  }

  const drawn = drawer(
    () => [side().children.map((one) => [one.player, one.done, one.listed]), reason, asked],
    () => {
      drawReasons();
      drawLast();
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
      { class: "before" },
      headline(t("Not here")),
      h("p", { class: "small" }, t("Choose why, then tap each number. Leave out children who may be near the limit.")),
      reasons,
      grid.node,
    ),
    thumb(app, game, last, button(t("Done"), () => goBack(app), { class: "back" })),
  );
  draw();
  root.querySelector("h1").focus({ preventScroll: true });
  const stops = [model.onChange(() => draw()), top.end];
  return () => stops.forEach((stop) => stop());
}
