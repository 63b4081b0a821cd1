/**
 * The end of a practice: what went well, what was missed, why, and what helps next time. No score.
 * `#/practice-end`
 */

import { post } from "../api.js";
import { h, replace } from "../dom.js";
import { button, headline, link } from "../line/parts.js";
import { standing } from "../queue.js";
import { t, told } from "../words.js";

const PATIENCE_MS = 4000;

export async function show(root, _params, app) {
  const { beginMorning, home, played } = app.practice;
  const { seen, opened, kind, isOver } = played();
  replace(root, headline(t("One moment.")));
  await allSaved();
  const { well, missed } = await post("/api/practice/end", { seen, opened });
  const isTen = kind === "ten";

  const whose = ({ numbers }) => numbers.length > 0 && h("span", {}, " ", t("Numbers: {numbers}.", { numbers: numbers.join(", ") }));
  const miss = (one) => h("li", {}, h("p", {}, h("b", {}, told(one.text)), whose(one)), h("p", {}, told(one.rule)), one.next && h("p", {}, h("b", {}, t("Next time:")), " ", told(one.next)));

  const again = [
    button(t("One minute: three children"), () => beginMorning("minute"), { class: "wide" }),
    button(isTen ? t("Ten minutes again") : t("Ten minutes: a whole line"), () => beginMorning("ten"), { class: isTen ? "wide" : "first wide" }),
  ];
  replace(
    root,
    h(
      "div",
      { class: "practice-end" },
      headline(isOver ? t("Thank you. That was the practice.") : t("You stopped here.")),
      isOver ? null : link(t("Go on where you were"), home(), { class: "button wide" }),
      missed.length ? [h("h2", {}, t("Look at this again")), h("ul", { class: "lessons" }, missed.map(miss))] : null,
      well.length ? [h("h2", {}, t("This went well")), h("ul", {}, well.map((one) => h("li", {}, told(one.text))))] : null,
      seen.length ? null : h("p", {}, t("Nothing was played yet.")),
      isTen && isOver ? trained() : null,
      h("h2", {}, t("Practice more")),
      isTen ? again : again.reverse(),
    ),
  );
  root.querySelector("h1").focus();
}

/** Somebody who trains says so, in the real ledger; nobody of themselves. */
function trained() {
  const when = new Date(Date.now() - new Date().getTimezoneOffset() * 60_000).toISOString().slice(0, 16).replace("T", " ");
  return [
    h("h2", {}, t("For your trainer")),
    h("p", {}, t("If your league asks for training, the person who trained you records it in the league’s ledger. Nobody records it of themselves. They type this, with both names:")),
    h("pre", { class: "copy", tabindex: "0" }, `weighbook record trained --by "TRAINER" --value "YOU" --at "${when}"`),
  ];
}

/** The end is of what the server has: a tap may still be on its way. */
async function allSaved() {
  const until = Date.now() + PATIENCE_MS;
  while (standing().n > 0 && Date.now() < until) await new Promise((done) => setTimeout(done, 100));
}
