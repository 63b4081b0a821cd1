/**
 * The scale: level and zero, the check weight's reading, the limit. It says at once where the reading
 * does not pass, and refuses nothing.
 *
 * `#/game/G/scale/T`: T is the team that is weighed next.
 */

import { h, replace } from "../dom.js";
import { atScale } from "../line/moment.js";
import { button, clock, drawer, facts, felt, headline, pounds, thumb } from "../line/parts.js";
import { movedTo, passes } from "../line/scale_state.js";
import * as table from "../line/table.js";
import { t } from "../words.js";

const READINGS_EACH_SIDE = 2;

export async function show(root, { game, team }, app) {
  const { model } = app;
  const { head } = model;
  const weighed = team ?? head.teams.find((one) => one.side === "visitor").team;
  const step = head.tolerance_clb;
  const moved = await movedTo(model);
  const now = { level: false, zero: false, reading: null, limit: null, other: null };

  const top = facts(app, () => head.division_name, () => [t("{limit} lb", { limit: pounds(head.limit_clb) })]);
  const body = h("div", { class: "scale" });

  const isPassing = () => now.reading !== null && passes(head, now.reading);
  const isReady = () => now.level && now.zero && now.reading !== null && now.limit !== null;

  function tick(key, text, detail) {
    return h("li", {}, button([h("b", {}, text), h("span", {}, detail)], () => { now[key] = !now[key]; draw(); }, { class: "tick", "aria-pressed": String(now[key]) }));
  }

  function reading() {
    const values = [];
    for (let at = -READINGS_EACH_SIDE; at <= READINGS_EACH_SIDE; at += 1) values.push(head.check_clb + at * step);
    const tile = (clb) => button(pounds(clb), () => { now.reading = clb; now.other = null; draw(); }, { "aria-pressed": String(now.reading === clb) });
    return h(
      "li",
      { class: "reading" },
      h("p", {}, h("b", {}, t("Check weight, {n} lb. It reads:", { n: pounds(head.check_clb) }))),
      h("div", { class: "values readings", role: "group", "aria-label": t("Check weight, {n} lb. It reads:", { n: pounds(head.check_clb) }) }, values.map(tile)),
      typing("other", t("Another reading"), (clb) => { now.reading = clb; }),
      now.reading === null ? null : isPassing() ? h("p", {}, t("With this reading the scale passes.")) : h("p", { class: "notice" }, t("It does not pass: more than {n} lb off. Level and zero it, then check again, or use another scale.", { n: pounds(head.tolerance_clb) })),
    );
  }

  function typing(key, text, set) {
    const field = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", name: key, value: now[key] ?? "" });
    field.addEventListener("change", () => {
      const clb = hundredths(field.value);
      now[key] = field.value;
      set(clb);
      draw();
    });
    return h("label", { class: "typed" }, t("{what}, in lb", { what: text }), field);
  }

  function limit() {
    const isWrong = now.limit !== null && now.limit !== head.limit_clb;
    return h(
      "li",
      {},
      moved ? h("p", { class: "notice" }, t("The beam stands at {n} lb for {division}.", { n: pounds(moved.limit_clb), division: moved.division })) : null,
      button(
        [h("b", {}, t("Set the scale to {n} lb", { n: pounds(head.limit_clb) })), h("span", {}, t("Then nobody touches it."))],
        () => { now.limit = now.limit === head.limit_clb ? null : head.limit_clb; draw(); },
        { class: "tick", "aria-pressed": String(now.limit === head.limit_clb) },
      ),
      typing("limitTyped", t("Set to another limit"), (clb) => { now.limit = clb; }),
      isWrong ? h("p", { class: "notice" }, t("The limit of this game is {n} lb.", { n: pounds(head.limit_clb) })) : null,
    );
  }

  async function done() {
    if (!isReady()) return;
    const entry = { kind: "station", reading: pounds(now.reading), limit: pounds(now.limit) };
    const act = await app.state([...atScale(app, weighed), entry]);
    await table.setBeam({ game, division: head.division_name, limit_clb: now.limit, at: act.entries.at(-1).at });
    felt();
    app.say(t("The scale check is written down."));
    app.go(`#/game/${game}/weigh/${weighed}`);
  }

  function missing() {
    const open = [
      !now.level && t("Level"),
      !now.zero && t("Zero"),
      now.reading === null && t("What the check weight reads"),
      now.limit === null && t("Set the scale"),
    ];
    app.say(t("Still to tap: {what}.", { what: open.filter(Boolean).join(", ") }));
  }

  const before = () => {
    const { station, out } = model.fold.scale;
    if (out) return h("p", { class: "small" }, t("Out of use since {time}. A check that passes puts it back in use.", { time: clock(head, out.at) }));
    if (!station) return null;
    const said = t("Checked at {time}: it read {reading} lb and was set to {limit} lb.", { time: clock(head, station.at), reading: pounds(station.reading_clb), limit: pounds(station.limit_clb) });
    return h("p", { class: "small" }, said);
  };

  const drawn = drawer(
    () => [now, model.fold.scale],
    () =>
      replace(
        body,
        headline(t("The scale")),
        before(),
        h("ol", { class: "steps" }, tick("level", t("Level"), t("On firm ground.")), tick("zero", t("Zero"), t("The beam floats.")), reading(), limit()),
        button(t("Scale is ready"), done, { class: "first wide", answer: true, refused: missing, "aria-disabled": String(!isReady()) }),
      ),
  );
  const draw = () => drawn();

  replace(root, top.node, body, thumb(app, game, button(t("Scale trouble"), () => app.go(`#/game/${game}/scale-trouble/${weighed}`))));
  draw();
  body.querySelector("h1").focus();
  const stops = [model.onChange(draw), top.end];
  return () => stops.forEach((stop) => stop());
}

/** "9.5" or "9,5" is 950; null for what is no weight of the check. */
export function hundredths(text) {
  const found = /^\s*(\d{1,3})(?:[.,](\d{1,2}))?\s*$/.exec(text);
  if (!found) return null;
  const clb = Number(found[1]) * 100 + Number((found[2] ?? "").padEnd(2, "0"));
  return clb > 0 ? clb : null;
}
