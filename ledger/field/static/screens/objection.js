/**
 * Somebody objects: one sentence to read aloud, who to ask, and the question written down; then the
 * same child again. `#/game/G/objection/T/PLAYER`
 */

import { h, replace } from "../dom.js";
import { button, felt, goBack, headline, thumb } from "../line/parts.js";
import { roleName } from "../line/roles.js";
import { t } from "../words.js";

const ASKED = ["site_official", "head_official", "division_president"];
/** "96 lb", "weighs 96": asked here already, while the words are on the screen. The server asks about more, and decides. */
const WEIGHT = /\d{2,3}(?:[.,]\d+)? ?-?(?:lbs?|pounds?|kgs?|kilos?)\b|\bweigh(?:s|ed|ing)?(?: (?:in|at|about|only))* \d{2,3}\b/i;
const LETTERS = "abcdefghijkmnpqrstuvwxyz23456789";

export function show(root, { game, team, player }, app) {
  const { model } = app;
  const { head } = model;
  let about = "weigh";
  let sure = "";
  const texts = { weigh: t("Weighing"), roster: t("The roster"), safety: t("Safety"), other: t("Other") };
  const note = h("textarea", { rows: "3", maxlength: "500", required: true, placeholder: t("Who asks, and what?") });

  const doubt = h("p", { role: "alert" });

  const rule = head.attempts === 1
    ? t("“Each player is weighed once, in everything worn in the game but the helmet. Below the upper stop is OK.”")
    : t("“Each player may be weighed twice, in everything worn in the game but the helmet. Below the upper stop is OK.”");

  const whom = h("ol", {}, ASKED.map((role) => h("li", {}, asked(head, role))));

  async function write(event) {
    event.preventDefault();
    if (!note.reportValidity()) return;
    const words = WEIGHT.exec(note.value)?.[0];
    if (words && sure !== note.value) {
      sure = note.value;
      replace(doubt, t("This looks like a weight: “{words}”. weighbook keeps none: take it out. If it is none, press Write it down once more.", { words }));
      return note.focus();
    }
    const known = model.child(team, player);
    const who = known ? { player } : {};
    await app.state([{ kind: "case_open", case: `${game}-${drawn(6)}`, team, ...who, reason: about, note: note.value.trim() }]);
    felt();
    app.say(t("The question is on its way."));
    return goBack(app);
  }

  async function coachNear() {
    await app.state([{ kind: "concern", team, reason: "coach_near_scale" }]);
    felt();
    app.say(t("Noted."));
    goBack(app);
  }

  const choices = h("div", { class: "values words" });
  const draw = () => replace(choices, Object.keys(texts).map((code) => button(texts[code], () => { about = code; draw(); }, { "aria-pressed": String(about === code) })));
  draw();
  replace(
    root,
    h(
      "div",
      { class: "objection" },
      headline(t("Read this aloud, once")),
      h("blockquote", {}, rule),
      h("h2", {}, t("Who to ask, away from the scale")),
      whom,
      h("h2", {}, t("Write down the question")),
      choices,
      h(
        "form",
        { onsubmit: write },
        h("label", {}, t("The question, in their words. Nothing about a body or health."), note),
        doubt,
        h("button", { type: "submit", class: "first wide" }, t("Write it down")),
      ),
      button(t("A coach is near the scale: note it"), coachNear, { class: "wide", answer: true }),
    ),
    thumb(app, game, button(t("Back"), () => goBack(app), { class: "back" })),
  );
  root.querySelector("h1").focus();
  return () => {};
}

/** The role; with the name where only one person has it in this game. */
function asked(head, role) {
  const text = roleName(role);
  const holders = head.people.filter((one) => one.role === role);
  return holders.length === 1 && holders[0].name ? t("{role}: {name}", { role: text, name: holders[0].name }) : text;
}

function drawn(count) {
  return [...crypto.getRandomValues(new Uint8Array(count))].map((byte) => LETTERS[byte % 32]).join("");
}
