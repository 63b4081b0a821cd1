/**
 * A number that is on no roster: number and name are written down with the answer, and settled later.
 *
 * `#/game/G/other-number/T` or `…/T/NUMBER`. Nothing is stated here; the name stays in memory.
 */

import { h, replace } from "../dom.js";
import { find } from "../line/finding.js";
import { button, headline, label, thumb } from "../line/parts.js";
import * as table from "../line/table.js";
import { t } from "../words.js";

export function show(root, { game, team, player: given }, app) {
  const { model } = app;
  const open = (player) => app.go(`#/game/${game}/child/${team}/${encodeURIComponent(player)}`);
  const number = h("input", { type: "text", inputmode: "numeric", maxlength: "2", autocomplete: "off", required: true, value: given ?? "" });
  const name = h("input", { type: "text", autocomplete: "off", autocapitalize: "words", required: true, maxlength: "80" });
  const known = h("div", { class: "meant", "aria-live": "polite" });

  function drawKnown() {
    const { exact } = find(model.team(team).children, /^\d+$/.test(number.value) ? number.value : "");
    const rows = exact.map((child) => button(t("{n} is on the roster: go there", { n: label(child) }), () => open(child.player)));
    replace(known, ...rows);
  }

  function go(event) {
    event.preventDefault();
    const isNumber = /^\d{1,2}$/.test(number.value.trim());
    number.setCustomValidity(isNumber ? "" : t("Type the number on the shirt, 0 to 99."));
    if (!form.reportValidity() || !name.value.trim()) return;
    const n = Number(number.value);
    const player = `unlisted-${game}-${team}-${n}`;
    table.type({ player, number: n, name: name.value.trim() });
    open(player);
  }

  number.addEventListener("input", () => {
    number.setCustomValidity("");
    drawKnown();
  });
  const form = h(
    "form",
    { onsubmit: go, novalidate: false },
    h("label", {}, t("Number"), number),
    h("label", {}, t("Name"), name),
    known,
    h("button", { type: "submit", class: "first wide" }, t("To the scale")),
  );
  replace(
    root,
    h(
      "div",
      {},
      headline(t("Not on the roster")),
      h("p", {}, t("Weigh the child like the others. The roster is settled later, away from the scale.")),
      form,
    ),
    thumb(app, game, button(t("Back"), () => app.go(`#/game/${game}/weigh/${team}`), { class: "back" })),
  );
  drawKnown();
  (given ? name : number).focus();
  return () => {};
}
