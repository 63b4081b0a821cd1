/**
 * One child at the scale: number, one unusual line, OK and OVER. One tap states all that follows.
 *
 * `#/game/G/child/T/PLAYER`. After OVER it asks for the tape; after any other answer the team is back.
 */

import { h, replace } from "../dom.js";
import * as at from "../line/answers.js";
import { childOf, momentOf } from "../line/moment.js";
import { button, clock, drawer, facts, felt, headline, labelAmong, nameLine, pounds, thumb } from "../line/parts.js";
import * as table from "../line/table.js";
import { lastTap } from "../line/taken_back.js";
import * as names from "../names.js";
import { withdrawals } from "../queue.js";
import { t } from "../words.js";

const KEYS = { ok: "k", over: "v", here: "h", tape: "t", later: "l" };

export async function show(root, { game, team, player }, app) {
  const { model } = app;
  const list = `#/game/${game}/weigh/${team}`;
  let child = childOf(app, team, player);
  if (!child) {
    app.go(list);
    return () => {};
  }
  const crossing = new Map();
  let isTold = false;
  table.showLast(null);

  const called = () => labelAmong(model.team(team).children, child);
  const moment = () => momentOf(app, team);
  const now = () => at.stage(child, moment());
  const listed = () => (now() === "answer" && moment().plays ? [...child.listed].filter((one) => one !== "over") : []);
  const isCrossed = (reason) => crossing.get(reason) ?? (at.crossedAtOnce(reason) ? true : null);
  const isOpen = () => listed().some((reason) => isCrossed(reason) === null);

  async function state(entries) {
    const act = await app.state(entries);
    felt();
    await table.comeBack(game, team, child.player);
    return act;
  }

  async function answer(value) {
    if (isOpen() || now() === "done") return;
    const crossed = listed().filter(isCrossed);
    const act = await state(at.answer(child, value, moment(), crossed));
    app.say(t("{n} is written down.", { n: called() }));
    table.showLast(act);
    child = childOf(app, team, player);
    if (now() === "second" || at.tapeIsDue(child)) return draw();
    app.go(list);
  }

  async function tape() {
    await state(at.stripe(child, moment()));
    app.say(t("Tape is written down."));
    app.go(list);
  }

  async function noSecondTry() {
    const entries = at.settled(child, "over", moment());
    if (entries.length) await state(entries);
    child = childOf(app, team, player);
    draw(true);
  }

  async function takeBack() {
    const tap = lastTap(model.acts(), app.active(), team, player);
    await state(withdrawals(tap.entries, t("Taken back at the scale.")));
    app.say(t("{n} is taken back.", { n: called() }));
    child = childOf(app, team, player);
    if (!child) app.go(list);
  }

  const top = facts(app, () => model.team(team).name, () => [
    moment().out ? t("By the book") : t("{limit} lb", { limit: pounds(model.head.limit_clb) }),
  ]);
  const main = h("div", { class: "child" });
  const bar = thumb(app, game, button(t("Numbers"), () => app.go(list), { class: "back" }));

  const face = () => h("div", { class: "face" }, headline(called(), { class: "number", "aria-label": t("Number {n}", { n: called() }) }), nameLine(app, child));

  function asking() {
    const { out, plays } = moment();
    const answers = out
      ? [h("div", { class: "answers" }, shape("here", t("HERE"), "no_scale"))]
      : [h("div", { class: "answers" }, shape("over", t("OVER"), "over"), shape("ok", t("OK"), "ok"))];
    const due = !out && at.markIsDue(child) && (now() === "answer" || child.done);
    return [
      face(),
      unusual(due, out, plays),
      listed().map(question),
      answers,
      now() === "second" ? button(t("No second try"), noSecondTry, { answer: true }) : beside(),
    ];
  }

  function shape(kind, text, value) {
    const key = h("kbd", { "aria-hidden": "true" }, KEYS[kind].toUpperCase());
    const node = button([h("span", {}, text), key], () => answer(value), { answer: true, class: kind });
    if (isOpen()) node.setAttribute("aria-disabled", "true");
    return node;
  }

  /** One line, and only where something is not as usual. */
  function unusual(due, out, plays) {
    const mark = child.mark?.value;
    const told = { ok: t("Book: ok."), over: t("Book: over.") }[mark] ?? t("No mark in the book: undecided. Nobody guesses.");
    const lines = [
      out && t("Scale out: the book decides."),
      out && told,
      !plays && t("The child came too late to play. If they want to, weigh them: it is written down."),
      plays && moment().late && t("Weighed late."),
      now() === "second" && t("One more try is allowed."),
      child.is_new && t("Not on the roster: settled later, away from the scale."),
      due && t("First game: your answer also marks the book, {initials}.", { initials: moment().initials }),
      !out && child.listed.has("over") && t("Listed in advance. OK crosses it off."),
    ].filter(Boolean);
    return lines.length ? h("p", { class: "unusual" }, lines.join(" ")) : null;
  }

  function question(reason) {
    const asked = {
      absent: t("Listed absent: cross off?"),
      injured: t("Listed injured: cross off?"),
      equipment: t("Listed for gear: cross off?"),
      other: t("Listed for another reason: cross off?"),
    }[reason];
    const choice = (text, value) =>
      button(text, () => { crossing.set(reason, value); draw(true); }, { "aria-pressed": String(isCrossed(reason) === value) });
    return h("fieldset", { class: "question" }, h("legend", {}, asked), choice(t("Cross off"), true), choice(t("Leave it"), false));
  }

  function beside() {
    const go = (place) => () => app.go(`#/game/${game}/${place}/${team}/${player}`);
    return h(
      "div",
      { class: "beside" },
      button(t("Not now"), notNow),
      button(t("Gear"), go("gear")),
      button(t("Not here"), go("not-here")),
      button(t("Scale trouble"), () => app.go(`#/game/${game}/scale-trouble/${team}`)),
      button(t("Objection"), go("objection")),
    );
  }

  async function notNow() {
    if (!child.is_new) await table.stepAside(game, team, player);
    app.say(t("{n} steps aside. Nothing is written.", { n: called() }));
    app.go(list);
  }

  function taping() {
    return [
      face(),
      h("p", { class: "ask" }, t("Tape across the helmet, front and back.")),
      h(
        "div",
        { class: "tape" },
        button([t("Tape is on"), h("kbd", { "aria-hidden": "true" }, "T")], tape, { answer: true, class: "primary" }),
        button([t("Later"), h("kbd", { "aria-hidden": "true" }, "L")], () => app.go(list)),
      ),
      taking(),
    ];
  }

  function written() {
    const weigh = child.presented;
    const result = { ok: t("ok"), over: t("over"), no_scale: t("here, scale out") };
    const by = ({ by: official }) => model.head.people.find((one) => one.official === official)?.initials ?? "";
    const said = child.weighs.length > 1 ? child.weighs.map((one) => `${by(one)}: ${result[one.value]}`).join(", ") : result[weigh.value];
    return [
      face(),
      h("p", { class: "ask" }, t("Written down at {time}, {initials}.", { time: clock(model.head, weigh.at), initials: by(weigh) })),
      at.isTooOften(child, model.head) ? h("p", { class: "unusual" }, t("Written down twice. Take back the wrong one.")) : null,
      isTold ? h("p", { class: "told" }, said) : button(t("Show the answer"), () => { isTold = true; draw(true); }),
      taking(),
    ];
  }

  function taking() {
    if (lastTap(model.acts(), app.active(), team, player)) {
      return button(t("Take back {n}", { n: called() }), takeBack, { answer: true, class: "take-back" });
    }
    return h("p", { class: "small" }, t("Only the official who wrote it down takes it back."));
  }

  const drawn = drawer(
    () => [child.name, child.weighs, child.listed, child.striped, child.mark, moment(), names.areCovered()],
    () => {
      const step = now();
      const parts = step !== "done" ? asking() : at.tapeIsDue(child) ? taping() : written();
      replace(main, ...parts);
    },
  );

  function draw(isForced = false) {
    child = childOf(app, team, player) ?? child;
    drawn(isForced);
    top.draw();
  }

  function onKey(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target.matches("input, textarea, select")) return;
    const hit = (kind) => main.querySelector(`.${kind}`);
    const target = { [KEYS.ok]: hit("ok"), [KEYS.over]: hit("over"), [KEYS.here]: hit("here") }[event.key.toLowerCase()]
      ?? (hit("tape") && { [KEYS.tape]: hit("tape").children[0], [KEYS.later]: hit("tape").children[1] }[event.key.toLowerCase()]);
    if (target && !event.repeat) target.click();
    else if (event.key === "Escape") app.go(list);
  }

  replace(root, top.node, main, bar);
  draw();
  main.querySelector("h1").focus({ preventScroll: true });
  addEventListener("keydown", onKey);
  const stops = [model.onChange(() => draw()), names.onCover(() => draw()), top.end, () => removeEventListener("keydown", onKey)];
  return () => stops.forEach((stop) => stop());
}
