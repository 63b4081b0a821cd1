/** Paper at any time: print what is there and go on with a pen. `#/game/G/paper` */

import { printed } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { button, headline, thumb } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, { game }, app) {
  const { head } = app.model;
  const here = encodeURIComponent(game);
  const of = (team) => [
    printed(t("The list, as it stands"), `/print/list/${here}/${encodeURIComponent(team)}`, { class: "button" }),
    printed(t("Empty list"), `/print/blank-list/${here}/${encodeURIComponent(team)}`, { class: "button" }),
    printed(t("Play count"), `/print/play-count/${here}/${encodeURIComponent(team)}`, { class: "button" }),
  ];
  replace(
    root,
    h(
      "div",
      { class: "papers" },
      headline(t("Paper")),
      h("p", {}, t("Each opens beside this page, ready to print. Go on with a pen at any time; type it in later, with its times.")),
      head.teams.map((one) => h("section", {}, h("h2", {}, one.name), h("p", { class: "ways" }, of(one.team)))),
      h("h2", {}, t("For the table")),
      h("p", { class: "ways" }, printed(t("The card, step by step"), `/print/card/${here}`, { class: "button" })),
    ),
    thumb(app, game, button(t("Back"), () => history.back(), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
