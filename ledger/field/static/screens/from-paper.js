/**
 * Type in a sheet, line by line in its order: number, letter, Enter. Each line states what a tap at
 * the scale states, at the sheet's time. The photo beside it stays on this device.
 *
 * `#/game/G/from-paper/T`
 */

import { h, replace } from "../dom.js";
import { newcomer } from "../line/answers.js";
import { find } from "../line/finding.js";
import { LETTERS, entriesOf, oddities, readTyped } from "../line/from_paper.js";
import { atScale, momentOf } from "../line/moment.js";
import { button, clock, felt, goBack, headline, hour, label, short, thumb } from "../line/parts.js";
import { photo } from "../line/photo.js";
import { readOut } from "../line/stated_words.js";
import * as table from "../line/table.js";
import { instant } from "../line/times.js";
import * as names from "../names.js";
import { withdrawals } from "../queue.js";
import { t } from "../words.js";

const MINUTE_MS = 60_000;

export async function show(root, { game, team }, app) {
  const { model } = app;
  const { head } = model;
  const paper = (await table.paper(game)) ?? { since: null, last: null };
  const hasKeys = matchMedia("(hover: hover)").matches;
  const lines = [];
  let letter = null;
  let chosen = null;
  let sure = "";
  let isBusy = false;
  let isAsked = false;
  /** Once said of the sheet, it holds for its other lines. */
  let isEarlyFine = false;

  const number = h("input", { type: "text", inputmode: "numeric", autocomplete: "off", name: "number", oninput: typed });
  const name = h("input", { type: "text", autocomplete: "off", autocapitalize: "words", maxlength: "80", oninput: draw });
  const time = h("input", { type: "text", inputmode: "numeric", autocomplete: "off", maxlength: "5", name: "time", value: hour(head, upToNow(first())), oninput: draw, onfocus: () => time.select() });
  const nameField = h("label", { hidden: true }, t("Name on the sheet"), name);
  const twins = h("div", { class: "meant" });
  const keys = h("div", { class: "values letters", role: "group", "aria-label": t("What the sheet says") });
  const said = h("div", { class: "preview", "aria-live": "polite" });
  const rows = h("ol", { class: "rows", reversed: true });

  /** No line is written before it happens. */
  function upToNow(time) {
    return Math.min(time, Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS);
  }

  /** The sheet's first time: when paper took over, or a minute after the line typed in last. */
  function first() {
    const from = paper.last ? Date.parse(paper.last) + MINUTE_MS : Date.parse(paper.since ?? head.opens);
    return Math.ceil(from / MINUTE_MS) * MINUTE_MS;
  }

  const atOf = () => instant(head, time.value, paper.since ?? head.opens);

  function typed() {
    const read = readTyped(number.value);
    number.value = read.digits;
    if (read.letter) letter = read.letter;
    chosen = null;
    isAsked = false;
    draw();
  }

  const meant = () => (number.value ? find(model.team(team).children, number.value).exact : []);

  /** The child of the line; null where nobody or several are meant, or a name is missing. */
  function childNow() {
    const found = meant();
    if (found.length > 1) return found.find((one) => one.player === chosen) ?? null;
    if (found.length === 1) return found[0];
    const n = Number(number.value);
    const player = `unlisted-${game}-${team}-${n}`;
    return number.value && name.value.trim() ? newcomer(team, { player, number: n, name: name.value.trim() }) : null;
  }

  /** What Enter would state now, and what is odd about it; null where the line is not whole. */
  function lineNow() {
    const child = childNow();
    const at = atOf();
    if (!child || !letter || !at) return null;
    const moment = momentOf(app, team, at);
    const before = lines.findLast((one) => !one.isBack)?.at ?? paper.last;
    return { child, at, entries: entriesOf(child, letter, moment, at), odd: oddities(child, letter, moment, { at, before, checked: isEarlyFine ? null : model.fold.scale.first?.at, now: new Date().toISOString() }) };
  }

  const oddWords = (odd, { child, at }) =>
    ({
      twice: t("{n} is already written down. A second line?", { n: label(child) }),
      back: t("This time is before the line above it."),
      early: t("{time} is before the scale was checked. Is that what the sheet says?", { time: hour(head, at) }),
      ahead: t("This time is still to come."),
    })[odd];

  function draw() {
    const found = meant();
    nameField.hidden = !number.value || found.length > 0;
    replace(twins, ...(found.length > 1 ? found.map((one) => button([h("b", {}, label(one)), " ", one.name && !names.areCovered() ? one.name : short(one)], () => { chosen = one.player; draw(); }, { "aria-pressed": String(chosen === one.player) })) : []));
    for (const key of keys.children) key.setAttribute("aria-pressed", String(key.dataset.letter === letter));
    const line = lineNow();
    if (sure !== keyOf(line)) sure = "";
    replace(said, ...preview(line, found));
  }

  const again = () => (hasKeys ? t("Enter again if the sheet says so.") : t("Press Write it down once more if the sheet says so."));

  const keyOf = (line) => (line ? JSON.stringify([line.child.player, letter, line.at]) : "");

  function preview(line, found) {
    if (found.length > 1 && !chosen) return [h("p", { class: "unusual" }, t("Two children wear this number. Choose one."))];
    if (!atOf()) return [h("p", { class: "unusual" }, t("Type the time as 8:41."))];
    if (!nameField.hidden && !name.value.trim()) return [h("p", { class: "unusual" }, t("{n} is not on the roster. Type the name on the sheet.", { n: number.value }))];
    if (!line && isAsked) return [h("p", { class: "unusual" }, number.value ? t("Tap what the sheet says: OK, Over, or why not.") : t("Type the number on the sheet."))];
    if (!line) return [h("p", { class: "small" }, hasKeys ? t("Number, letter, Enter.") : t("Number, answer, Write it down."))];
    const who = [h("b", {}, label(line.child)), line.child.name && !names.areCovered() ? ` ${line.child.name}` : ""];
    return [
      h("p", {}, ...who, ": ", readOut(line.entries), ". ", clock(head, line.at)),
      line.odd.length ? h("p", { class: "unusual" }, [...line.odd.map((odd) => oddWords(odd, line)), sure && again()].filter(Boolean).join(" ")) : null,
    ].filter(Boolean);
  }

  function missing() {
    if (!nameField.hidden && !name.value.trim()) return name;
    if (!atOf()) return time;
    return number.value && !letter ? keys.firstChild : number;
  }

  async function enter(event) {
    event.preventDefault();
    const line = lineNow();
    if (!line) {
      isAsked = true;
      draw();
      return missing().focus();
    }
    if (line.odd.length && !sure) {
      sure = keyOf(line);
      return replace(said, ...preview(line, meant()));
    }
    // A key that bounces must not write a line twice.
    if (isBusy) return undefined;
    isBusy = true;
    try {
      await write(line);
    } finally {
      isBusy = false;
    }
    return number.focus();
  }

  async function write(line) {
    const entered = new Date().toISOString();
    isEarlyFine ||= line.odd.includes("early");
    const there = atScale(app, team);
    if (there.length) await app.state(there.map((entry) => ({ ...entry, at: line.at })), { entered });
    const act = await app.state(line.entries, { entered });
    felt();
    app.say(t("{n} is written down.", { n: label(line.child) }));
    lines.push({ act, label: label(line.child), name: line.child.name, said: readOut(line.entries), at: line.at, isBack: false });
    paper.last = line.at;
    paper.since ??= line.at;
    await table.setPaper(game, paper);
    number.value = name.value = "";
    letter = chosen = null;
    isAsked = false;
    time.value = hour(head, upToNow(Date.parse(line.at) + MINUTE_MS));
    draw();
    drawRows();
  }

  async function takeBack(line) {
    await app.state(withdrawals(line.act.entries, t("Typed in wrongly from paper.")));
    line.isBack = true;
    drawRows();
    number.focus();
  }

  function drawRows() {
    const row = (line) =>
      h(
        "li",
        {},
        h("span", { class: "whose" }, h("b", { class: "big" }, line.label), h("span", {}, line.isBack ? h("s", {}, line.said) : line.said, h("span", { class: "small" }, ` ${clock(head, line.at)}`))),
        line.isBack ? h("span", { class: "small" }, t("taken back")) : h("span", { class: "do" }, button(t("Take back"), () => takeBack(line), { "aria-label": t("Take back {n}", { n: line.label }) })),
      );
    replace(rows, ...[...lines].reverse().map(row));
  }

  const words = { o: t("OK"), v: t("Over, taped"), n: t("Over, no tape"), h: t("Here, scale out"), a: t("Absent"), i: t("Injured"), g: t("Gear"), x: t("Other") };
  const key = (one) => button([words[one], h("kbd", { "aria-hidden": "true" }, one.toUpperCase())], () => { letter = one; draw(); }, { "aria-pressed": "false", "data-letter": one });
  replace(keys, ...Object.keys(LETTERS).map(key));

  const form = h(
    "form",
    { id: "line", onsubmit: enter },
    h("div", { class: "line-typed" }, h("label", {}, t("Number"), number), h("label", {}, t("Time"), time)),
    twins,
    nameField,
    keys,
    said,
    h("p", { class: "small" }, t("Each line goes under your name, {initials}. If someone else wrote the sheet, hand over first.", { initials: momentOf(app, team).initials })),
  );
  const sheet = photo();
  replace(
    root,
    h("div", { class: "from-paper" }, sheet.node, h("div", {}, headline(t("From paper: {team}", { team: model.team(team).name })), form, rows)),
    thumb(app, game, button(t("Done"), () => goBack(app, `#/game/${game}`), { class: "back" }), h("button", { type: "submit", form: "line", class: "first write" }, t("Write it down"))),
  );
  draw();
  (hasKeys ? number : root.querySelector("h1")).focus();
  const stops = [model.onChange(draw), names.onCover(draw), sheet.end];
  return () => stops.forEach((stop) => stop());
}
