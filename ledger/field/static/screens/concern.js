/**
 * A concern, noted quietly: what, and of whom if it is about one child. One tap notes it.
 *
 * `#/game/G/concern/T` or `…/T/PLAYER`. Safety is for coaches and officials to settle.
 */

import { h, replace } from "../dom.js";
import { whom } from "../line/answers.js";
import { find } from "../line/finding.js";
import { button, felt, headline, label, thumb } from "../line/parts.js";
import { t } from "../words.js";

export function show(root, { game, team, player }, app) {
  const { model } = app;
  const side = model.team(team);
  const reasons = [
    ["mouth_guard", t("Mouth guard")],
    ["chin_strap", t("Chin strap")],
    ["helmet", t("Helmet")],
    ["cleats", t("Cleats")],
    ["equipment", t("Other gear")],
    ["coach_near_scale", t("A coach near the scale")],
    ["conduct", t("Conduct")],
    ["other", t("Something else")],
  ];
  const known = player ? model.child(team, player) : null;
  const number = h("input", { inputmode: "numeric", autocomplete: "off", maxlength: "2", value: known ? label(known) : "" });
  const note = h("textarea", { rows: "2", maxlength: "500" });
  const wrong = h("p", { role: "alert" });

  async function noted(reason) {
    const typed = number.value.trim();
    let child = known && typed === label(known) ? known : null;
    if (typed && !child) {
      const { exact } = find(side.children, typed);
      if (exact.length !== 1) return replace(wrong, t("Nobody here has number {n}. Leave it empty, or correct it.", { n: typed }));
      [child] = exact;
    }
    await app.state([{ kind: "concern", team, ...(child ? whom(child) : {}), reason, ...(note.value.trim() ? { note: note.value.trim() } : {}) }]);
    felt();
    app.say(t("Noted."));
    history.back();
    return undefined;
  }

  replace(
    root,
    h(
      "div",
      { class: "steps concern" },
      headline(t("Note a concern")),
      h("p", { class: "small" }, t("Tell the child’s own coach first. Nothing about a body or health.")),
      h("label", {}, t("Number, if it is one child"), number),
      wrong,
      h("label", {}, t("A few words, if needed"), note),
      h("div", { class: "concerns" }, reasons.map(([code, text]) => button(text, () => noted(code), { answer: true }))),
    ),
    thumb(app, game, button(t("Back"), () => history.back(), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}
