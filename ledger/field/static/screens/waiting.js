/** What is not recorded yet: what waits and whose it is, what needs somebody, and the file. */

import { h, replace } from "../dom.js";
import { press } from "../press.js";
import * as queue from "../queue.js";
import { said } from "../said.js";
import { savedText } from "../strip.js";
import { t, tn } from "../words.js";

export function show(root, params, app) {
  const paint = () => replace(root, h("h1", {}, savedText(queue.standing())), ...queue.aside().map(refused), ...whose(), tools());

  function refused({ act, error, behind }) {
    const questions = (error.questions ?? []).map((one) => h("p", {}, typeof one === "string" ? one : one.message));
    return h(
      "section",
      { class: "needs", "aria-label": t("Needs you") },
      lines(act),
      h("p", { class: "why" }, error.message),
      error.hint && h("p", {}, error.hint),
      questions,
      behind.length > 0 && h("p", {}, tn("{n} tap takes this back and waits with it.", "{n} taps take this back and wait with it.", behind.length)),
      error.code === "ask_texts" && button(t("The words are fine, send it"), () => queue.again(act, { fine: true })),
      error.code !== "ask_texts" && error.code !== "differs" && button(t("Send it again"), () => queue.again(act)),
      button(t("Drop it. It was not recorded."), () => queue.letGo(act)),
    );
  }

  function whose() {
    const found = grouped(queue.waiting());
    return [...found].map(([by, acts]) => {
      const name = app.me?.people.find((one) => one.official === by)?.name ?? by;
      return h("section", {}, h("h2", {}, tn("{n} tap by {name}", "{n} taps by {name}", acts.length, { name })), acts.map(lines));
    });
  }

  function tools() {
    if (queue.file() === null) return h("a", { class: "button wide", href: "#/" }, t("First screen"));
    return h(
      "section",
      {},
      button(t("Try now"), () => queue.kick()),
      button(t("Save what waits"), () => {
        const name = queue.saveFile();
        app.say(t("Saved as {name}. Your office enters it with: weighbook enter {name}", { name }), { stays: true });
      }),
      h("a", { class: "button wide", href: "#/" }, t("First screen")),
    );
  }

  paint();
  return queue.onChange(paint);
}

const button = (text, run) => press(h("button", { class: "wide" }, text), run);

const lines = (act) => h("ul", { class: "act" }, act.entries.map((entry) => h("li", {}, said(entry))));

function grouped(acts) {
  const found = new Map();
  for (const act of acts) found.set(act.by, [...(found.get(act.by) ?? []), act]);
  return found;
}
