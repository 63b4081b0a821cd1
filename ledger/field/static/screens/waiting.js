/** What is not recorded yet: what waits and whose it is, what needs somebody, and the file. */

import { timeZone } from "../device.js";
import { h, replace } from "../dom.js";
import { goBack } from "../line/parts.js";
import { press } from "../press.js";
import * as queue from "../queue.js";
import { about, said } from "../said.js";
import { savedText } from "../strip.js";
import { t, tn } from "../words.js";

export function show(root, params, app) {
  const title = h("h1", { tabindex: "-1" });
  const list = h("div", {});
  const known = {
    numberOf: (team, player) => app.model?.child(team, player)?.number,
    teamOf: (team) => app.model?.team(team)?.name ?? team,
    zone: timeZone(),
  };
  let before = "";
  let isOpen = false;
  let dropping = null;
  let rewording = null;
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
    const now = JSON.stringify([isOpen, dropping, rewording, queue.aside(), queue.waiting()]);
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
    const { where, what } = about(act, known);
    return [where, isOpen ? act.entries.map(said).join(", ") : what].filter(Boolean).join(": ");
  }

  const isText = (entry, column, error) => entry[column] && (error.questions?.some((one) => one.column === column) ?? column === "note");

  const textsOf = (act, error) => act.entries.flatMap((entry) => ["name", "note", "reason", "initials"].filter((column) => isText(entry, column, error)).map((column) => ({ entry, column })));

  /** The words that were asked about, to change; then one is back where one was. */
  function changing(act, error) {
    const fields = textsOf(act, error).map(({ entry, column }) => ({ entry, column, field: h("textarea", { rows: "3", maxlength: "500", required: true }, entry[column]) }));

    async function send(event) {
      event.preventDefault();
      if (!form.reportValidity()) return;
      const entries = act.entries.map((entry) => ({ ...entry, ...Object.fromEntries(fields.filter((one) => one.entry === entry).map(({ column, field }) => [column, field.value.trim()])) }));
      rewording = null;
      await queue.again(act, { entries });
      goBack(app);
    }

    const form = h("form", { onsubmit: send }, fields.map(({ field }) => h("label", {}, t("The words"), field)), h("button", { type: "submit", class: "first wide" }, t("Send it with these words")));
    return form;
  }

  function reword(act) {
    rewording = act.act;
    paint();
    list.querySelector("textarea")?.focus();
  }

  /** What the server asks about is on the screen only where one changes it. */
  function asking(act, error) {
    return [
      h("p", { class: "why" }, t("Not recorded: the words may hold a body weight or a birth date.")),
      h("p", {}, t("weighbook keeps neither. Ok or over is all that is needed.")),
      rewording === act.act ? changing(act, error) : textsOf(act, error).length > 0 && button(t("Change the words"), () => reword(act)),
    ];
  }

  function refused({ act, error, behind }) {
    const asks = error.code === "ask_texts";
    return h(
      "section",
      { class: "needs", "aria-label": t("Needs you") },
      h("p", {}, line(act)),
      asks ? asking(act, error) : [h("p", { class: "why" }, error.message), error.hint && h("p", {}, error.hint)],
      behind.length > 0 && h("p", {}, tn("{n} tap takes this back and waits with it.", "{n} taps take this back and wait with it.", behind.length)),
      asks && button(t("The words are fine, send it"), () => queue.again(act, { fine: true })),
      error.code === "differs" && button(t("Send it as a new entry"), () => queue.renew(act)),
      !asks && error.code !== "differs" && button(t("Send it again"), () => queue.again(act)),
      dropping === act.act
        ? [h("p", {}, t("It was not recorded. Once dropped, nobody can bring it back.")), button(t("Yes, drop it"), () => queue.letGo(act)), button(t("Keep it"), () => drop(null))]
        : button(t("Drop it"), () => drop(act.act)),
    );
  }

  replace(root, title, list, tools, button(t("Back"), () => goBack(app)), h("a", { class: "button wide", href: "#/" }, t("First screen")));
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
