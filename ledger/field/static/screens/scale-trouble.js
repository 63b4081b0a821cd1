/** The scale fails or is out of true: one tap, and the page goes by the book. `#/game/G/scale-trouble/T` */

import { h, replace } from "../dom.js";
import { button, clock, felt, goBack, headline, thumb } from "../line/parts.js";
import { withdrawals } from "../queue.js";
import { t } from "../words.js";

export function show(root, { game, team }, app) {
  const { model } = app;
  const list = `#/game/${game}/weigh/${team}`;
  const { out } = model.fold.scale;

  async function stop() {
    await app.state([{ kind: "scale_out", reason: t("Not usable at the table.") }]);
    felt();
    app.say(t("Scale out: by the book."));
    app.go(list);
  }

  async function wrongTap() {
    await app.state(withdrawals([out], t("Taken back at the scale.")));
    felt();
    app.say(t("The scale is in use."));
    app.go(list);
  }

  const isOut = [
    h("p", {}, t("Out of use since {time}. The book decides.", { time: out ? clock(model.head, out.at) : "" })),
    button(t("Check it or a spare"), () => app.go(`#/game/${game}/scale/${team}`), { class: "first wide" }),
    out?.by === app.active() && button(t("That was a wrong tap: take back"), wrongTap, { class: "wide", answer: true }),
  ];
  const works = [
    h("p", {}, t("Moved, bumped, or in doubt? Check it again with the check weight.")),
    button(t("Check it again"), () => app.go(`#/game/${game}/scale/${team}`), { class: "wide" }),
    h("p", {}, t("Broken? The mark in the book decides for each child. No mark? Nobody guesses: a reviewer rules.")),
    button(t("Scale is out of use"), stop, { class: "wide", answer: true }),
  ];
  replace(
    root,
    h("div", {}, headline(t("Scale trouble")), h("p", { class: "small" }, t("Do not call the next child yet. Nobody steps on it meanwhile.")), out ? isOut : works),
    thumb(app, game, button(t("Back"), () => goBack(app), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
