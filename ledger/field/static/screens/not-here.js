/** One child who is not weighed now: listed with a reason, in one tap. `#/game/G/not-here/T/PLAYER` */

import { h, replace } from "../dom.js";
import { listing } from "../line/answers.js";
import { childOf } from "../line/moment.js";
import { button, felt, goBack, headline, labelAmong, thumb } from "../line/parts.js";
import * as table from "../line/table.js";
import { t } from "../words.js";

export function show(root, { game, team, player }, app) {
  const child = childOf(app, team, player);
  const list = `#/game/${game}/weigh/${team}`;
  if (!child) {
    app.go(list);
    return () => {};
  }
  const n = labelAmong(app.model.team(team).children, child);
  const mayDeclare = app.model.head.declared_over_may_skip_scale;
  const reasons = [
    ["absent", t("Absent"), ""],
    ["injured", t("Injured"), ""],
    ["other", t("Another reason"), t("Also for a child who does not wish to be weighed. Do not press the child.")],
    mayDeclare && ["over", t("Goes without the scale"), t("The child plays and does not carry the ball.")],
  ].filter(Boolean);

  async function put(reason) {
    if (!child.listed.has(reason)) table.showLast(await app.state(listing(child, team, reason)));
    await table.comeBack(game, team, player);
    felt();
    app.say(t("{n} is listed.", { n }));
    app.go(list);
  }

  replace(
    root,
    h(
      "div",
      { class: "steps" },
      headline(t("{n} is not weighed", { n })),
      reasons.map(([reason, text, more]) => button([h("b", {}, text), more ? h("span", {}, more) : null], () => put(reason), { class: "tick", answer: true, "aria-pressed": String(child.listed.has(reason)) })),
    ),
    thumb(app, game, button(t("Back"), () => goBack(app), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
