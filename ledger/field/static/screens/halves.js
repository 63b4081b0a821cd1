/** The site official says when a half ended: one tap, with the time of the tap. `#/game/G/halves` */

import { ago } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { rolesOf } from "../line/moment.js";
import { button, clock, drawer, facts, felt, headline, link, thumb } from "../line/parts.js";
import { withdrawals } from "../queue.js";
import { t } from "../words.js";

const EVERY_MS = 10_000;
const ENDS = ["site_official", "head_official", "board_member", "division_president"];

export function show(root, { game }, app) {
  const { model } = app;
  const top = facts(app, () => model.head.division_name, () => model.head.teams.map((one) => one.name));
  const body = h("div", { class: "steps" });
  const halves = [
    [1, t("The first half"), t("End the first half now")],
    [2, t("The second half"), t("End the second half now")],
    [3, t("Overtime"), t("End overtime now")],
  ];

  const mayEnd = () => rolesOf(app).some((role) => ENDS.includes(role));

  async function end(half) {
    await app.state([{ kind: "half", half: String(half) }]);
    felt();
    app.say(t("Written down."));
  }

  async function takeBack(entry) {
    await app.state(withdrawals([entry], t("The half has not ended.")));
    felt();
    app.say(t("Taken back."));
  }

  function row([half, title, text], index) {
    const ended = model.fold.half_ended[half];
    const isNext = !ended && mayEnd() && halves.slice(0, index).every(([one]) => model.fold.half_ended[one]);
    if (!ended && !isNext) return null;
    return h(
      "section",
      {},
      h("h2", {}, title),
      ended
        ? [h("p", { class: "limit" }, t("Ended at {time}, {ago}.", { time: clock(model.head, ended.at), ago: ago(ended.at) })), ended.by === app.active() ? button(t("It has not ended: take back"), () => takeBack(ended), { answer: true }) : null]
        : button(text, () => end(half), { answer: true, class: half === 3 ? "wide" : "first wide" }),
    );
  }

  const drawn = drawer(
    () => [model.fold.half_ended, Math.floor(Date.now() / 60_000)],
    () => replace(body, headline(t("End of a half")), h("p", { class: "small" }, mayEnd() ? t("Late children may be weighed until the first half ends.") : t("The site official says when a half ended.")), halves.map(row), h("p", { class: "ways" }, model.head.teams.map((one) => link(t("Plays of the {team}", { team: one.name }), `#/game/${game}/plays/${one.team}`)))),
  );

  replace(root, top.node, body, thumb(app, game, button(t("Back"), () => history.back(), { class: "back" })));
  drawn();
  root.querySelector("h1").focus();
  const timer = setInterval(drawn, EVERY_MS);
  const stops = [model.onChange(() => drawn()), top.end, () => clearInterval(timer)];
  return () => stops.forEach((stop) => stop());
}
