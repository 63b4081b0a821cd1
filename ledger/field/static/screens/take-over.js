/**
 * Another official weighs a team's late children from now on: who has the paper list goes with it.
 *
 * `#/game/G/take-over/T`. It states that this official stands at the scale, if that is not there yet.
 */

import { joined } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { atScale, sideOf } from "../line/moment.js";
import { button, felt, headline, thumb } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, { game, team }, app) {
  const { model } = app;
  const { name } = model.team(team);
  const names = (ids) => joined(ids.map((id) => model.head.people.find((one) => one.official === id)).map((one) => one?.name ?? one?.initials).filter(Boolean));
  const before = model.team(sideOf(app, team)).at_scale.filter((one) => one !== app.active());

  async function take() {
    const entries = atScale(app, team);
    if (entries.length) await app.state(entries);
    felt();
    app.say(t("You weigh the late children of the {team}.", { team: name }));
    app.go(`#/game/${game}/late/${team}`);
  }

  replace(
    root,
    h(
      "div",
      { class: "steps" },
      headline(t("Late children of the {team}", { team: name })),
      before.length ? h("p", {}, t("At the scale so far: {names}.", { names: names(before) })) : null,
      h("ol", { class: "sentences" }, h("li", {}, t("Take their paper list and the tape.")), h("li", {}, t("Stay where late children find you until the half.")), h("li", {}, t("Tell both coaches and the site official who you are."))),
      button(t("I weigh them from now on"), take, { answer: true, class: "first wide" }),
    ),
    thumb(app, game, button(t("Back"), () => history.back(), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
