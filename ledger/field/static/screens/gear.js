/** Gear of one child: still missing (comes back later), or noted for the child's own coach. `#/game/G/gear/T/PLAYER` */

import { h, replace } from "../dom.js";
import { listing, whom } from "../line/answers.js";
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
  const notes = [
    ["mouth_guard", t("Mouth guard")],
    ["chin_strap", t("Chin strap")],
    ["helmet", t("Helmet")],
    ["cleats", t("Shoes")],
    ["equipment", t("Other gear")],
  ];

  async function missing() {
    if (!child.listed.has("equipment")) table.showLast(await app.state(listing(child, team, "equipment")));
    felt();
    app.say(t("{n} comes back when the gear is here.", { n }));
    app.go(list);
  }

  async function note(reason) {
    await app.state([{ kind: "concern", team, ...whom(child), reason }]);
    felt();
    app.say(t("Noted. Tell the child’s coach."));
    goBack(app);
  }

  replace(
    root,
    h(
      "div",
      {},
      headline(t("{n}: gear", { n })),
      button([h("b", {}, t("Still missing")), h("span", {}, t("Not weighed yet. Listed for gear; crossed off when the child is weighed."))], missing, { class: "tick", answer: true }),
      h("h2", {}, t("Only note it")),
      h("p", { class: "small" }, t("Weigh as usual. Safety is for coaches and officials to settle.")),
      h("div", { class: "beside" }, notes.map(([reason, text]) => button(text, () => note(reason), { answer: true }))),
    ),
    thumb(app, game, button(t("Back"), () => goBack(app), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
