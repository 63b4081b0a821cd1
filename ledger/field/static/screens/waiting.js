/** What is not recorded yet: what waits and whose it is, what needs somebody, and the file. */

import { h, replace } from "../dom.js";
import { press } from "../press.js";
import * as queue from "../queue.js";
import { about, said } from "../said.js";
import { savedText } from "../strip.js";
import { t, tn } from "../words.js";

export function show(root, params, app) {
  const title = h("h1", { tabindex: "-1" });
  const list = h("div", {});
  const numberOf = (team, player) => app.model?.child(team, player)?.number;
  let before = "";
  let isOpen = false;
  let dropping = null;
  const more = button(t("Show what was entered"), () => {
    isOpen = !isOpen;
    more.setAttribute("aria-expanded", String(isOpen));
    paint();
  });
  more.setAttribute("aria-expanded", "false");
  const tools = h("div", { hidden: true }, more, button(t("Try now"), queue.kick), button(t("Save what waits"), save));

  function save() {
    const name = queue.saveFile();
    app.say(t("Saved as {name}. Your office enters it with: weighbook enter {name}", { name }), { stays: true });
  }

  /** Only where something changed: a button under a finger or in focus stays where it is. */
  function paint() {
    title.textContent = savedText();
    tools.hidden = queue.file() === null;
    const now = JSON.stringify([isOpen, dropping, queue.aside(), queue.waiting()]);
    if (now === before) return;
    before = now;
    const isHere = list.contains(document.activeElement);
    replace(list, queue.aside().map(refused), byPerson(queue.waiting()).map(waits));
    if (isHere) title.focus();
  }

  function waits([by, acts]) {
    const name = app.me?.people.find((one) => one.official === by)?.name ?? by;
    return h("section", {}, h("h2", {}, tn("{n} tap by {name}", "{n} taps by {name}", acts.length, { name })), h("ul", { class: "acts" }, acts.map((act) => h("li", {}, line(act)))));
  }

  function drop(act) {
    dropping = act;
    paint();
  }

  /** What an act says is shown only when asked for: a child may read along. */
  function line(act) {
    return [about(act, numberOf, app.model?.head.time_zone), isOpen && `: ${act.entries.map(said).join(", ")}`];
  }

  function refused({ act, error, behind }) {
    const asks = error.code === "ask_texts";
    return h(
      "section",
      { class: "needs", "aria-label": t("Needs you") },
      h("p", {}, line(act)),
      h("p", { class: "why" }, error.message),
      error.hint && h("p", {}, error.hint),
      behind.length > 0 && h("p", {}, tn("{n} tap takes this back and waits with it.", "{n} taps take this back and wait with it.", behind.length)),
      asks && button(t("The words are fine, send it"), () => queue.again(act, { fine: true })),
      error.code === "differs" && button(t("Send it as a new entry"), () => queue.renew(act)),
      !asks && error.code !== "differs" && button(t("Send it again"), () => queue.again(act)),
      dropping === act.act
        ? [h("p", {}, t("It was not recorded. Once dropped, nobody can bring it back.")), button(t("Yes, drop it"), () => queue.letGo(act)), button(t("Keep it"), () => drop(null))]
        : button(t("Drop it"), () => drop(act.act)),
    );
  }

  replace(root, title, list, tools, h("a", { class: "button wide", href: "#/" }, t("First screen")));
  paint();
  title.focus();
  return queue.onChange(paint);
}

const button = (text, run) => press(h("button", { type: "button", class: "wide" }, text), run);

function byPerson(acts) {
  const found = new Map();
  for (const act of acts) found.set(act.by, [...(found.get(act.by) ?? []), act]);
  return [...found];
}
