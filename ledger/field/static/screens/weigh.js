/**
 * Weighing a team: the strip, a field to type in, the numbers, and the bar at the thumb.
 *
 * `#/game/G/weigh/T`. It opens once the scale is checked and set for this game, or is out.
 */

import { numbers } from "../after/parts.js";
import { h, replace } from "../dom.js";
import { isToCome, isTooOften } from "../line/answers.js";
import { chosen, find } from "../line/finding.js";
import { onNewcomers } from "../line/newcomers.js";
import { button, drawer, facts, felt, headline, kickoff, label, labelAmong, link, pounds, thumb } from "../line/parts.js";
import { needsSetting } from "../line/scale_state.js";
import * as table from "../line/table.js";
import { lastTakenBack, lastTap } from "../line/taken_back.js";
import { lookOf, tiles } from "../line/tiles.js";
import * as names from "../names.js";
import { withdrawals } from "../queue.js";
import { t, tn } from "../words.js";

export async function show(root, { game, team }, app) {
  const { model } = app;
  const here = (place) => `#/game/${game}/${place}/${team}`;
  if (await needsSetting(model)) {
    app.go(`#/game/${game}/scale/${team}`);
    return () => {};
  }
  let aside = await table.steppedAside(game, team);
  let typed = "";
  let newHere = [];
  const official = () => app.active();
  const side = () => model.team(team);
  const refused = () => model.aside.flatMap((one) => one.act.entries.filter((entry) => entry.kind.endsWith("weigh")).map((entry) => entry.player));
  const toCome = () => side().children.filter(isToCome);
  // While the scale is out nobody decides these; once it is back they are weighed.
  const undecided = () => (model.fold.scale.out ? [] : side().undecided);
  const open = (child) => app.go(refused().includes(child.player) ? "#/waiting" : `#/game/${game}/child/${team}/${encodeURIComponent(child.player)}`);

  const top = facts(app, () => side().name, () => [
    model.head.division_name,
    onScale(model),
    tn("{n} left", "{n} left", toCome().length),
    undecided().length > 0 && t("not decided: {numbers}", { numbers: numbers(undecided()) }),
    kickoff(model.head),
  ]);

  const field = h("input", {
    id: "find", type: "text", inputmode: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "go",
    placeholder: t("Type a number or name"), "aria-label": t("Number or letters of a name, then Enter"),
    oninput: () => { typed = field.value; draw(); },
    onkeydown: onEnter,
  });
  const grid = tiles(open, (child, steppedAside) => (undecided().some((one) => one.player === child.player) ? "open" : lookOf(child, steppedAside)));
  const meant = h("div", { class: "meant", "aria-live": "polite" });
  const foot = h("div", { class: "more" });
  const back = h("div", { class: "last" });

  function onEnter(event) {
    if (event.key === "Escape") clear();
    if (event.key !== "Enter" || !typed.trim()) return;
    event.preventDefault();
    const found = find(side().children, typed);
    const child = chosen(found);
    if (child) open(child);
    else if (isNumber() && !found.exact.length) app.go(`${here("other-number")}/${Number(typed)}`);
    else app.say(tn("{n} may be meant", "{n} may be meant", (found.exact.length ? found.exact : found.all).length));
  }

  const isNumber = () => /^\d{1,2}$/.test(typed.trim());

  function clear() {
    field.value = typed = "";
    draw();
  }

  function drawMeant() {
    if (!typed.trim()) return replace(meant);
    const found = find(side().children, typed);
    const several = found.exact.length > 1 ? found.exact : /\d/.test(typed) ? [] : found.all.slice(0, 6);
    const rows = several.map((child) => button([h("b", {}, label(child)), " ", names.areCovered() ? "" : child.name ?? ""], () => open(child)));
    if (isNumber() && !found.exact.length) {
      rows.push(button(t("{n} is not on the roster: write it down", { n: typed.trim() }), () => app.go(`${here("other-number")}/${Number(typed)}`)));
    } else if (!found.all.length) {
      rows.push(h("p", {}, t("No name has these letters.")));
    }
    replace(meant, ...rows);
  }

  /**
   * Take back, with what the last answer did until the next child is opened: a wrong first mark
   * follows a child all season.
   */
  function drawBack() {
    const acts = model.acts();
    const taken = lastTakenBack(acts, official(), team);
    const tap = lastTap(acts, official(), team);
    if (!taken && !tap) return replace(back);
    const n = nameFor((taken ?? tap).player);
    const [text, why, said] = taken
      ? [t("Bring back {n}", { n }), t("Brought back."), t("{n} is back.", { n })]
      : [t("Take back {n}", { n }), t("Taken back at the scale."), t("{n} is taken back.", { n })];
    const done = taken ? null : lastDone(acts, tap);
    return replace(back, button([done && h("span", {}, done), h("b", {}, text)], () => turn((taken ?? tap).entries, why, said), { answer: true }));
  }

  function lastDone(acts, tap) {
    const last = acts.find((one) => one.act === table.lastShown()?.act);
    if (!last || !tap.entries.some((one) => last.entries.includes(one))) return null;
    const mark = last.entries.find((one) => one.kind === "initial");
    return mark ? { ok: t("Book marked ok."), over: t("Book marked over.") }[mark.value] : t("Written down.");
  }

  const nameFor = (player) => {
    const child = model.child(team, player);
    return child ? labelAmong(side().children, child) : player.split("-").at(-1);
  };

  async function turn(entries, reason, said) {
    await app.state(withdrawals(entries, reason));
    table.showLast(null);
    felt();
    app.say(said);
  }

  function drawFoot() {
    const left = toCome().length + undecided().length;
    const waiting = aside.map((player) => model.child(team, player)).filter((child) => child && isToCome(child));
    const twice = side().children.filter((child) => isTooOften(child, model.head));
    const isClosed = Boolean(side().closed_at);
    replace(
      foot,
      twice.map((child) => button(t("{n} is written down twice: which one counts?", { n: label(child) }), () => open(child), { class: "notice" })),
      waiting.length ? h("div", { class: "aside" }, h("p", {}, t("Stepped aside: ready now?")), waiting.map((child) => button(label(child), () => open(child), { "aria-label": t("{n}, stepped aside", { n: label(child) }) }))) : null,
      newHere.map((one) => link(t("{name} is new here and waits.", { name: one.name }), "#/confirm", { class: "button notice" })),
      isClosed ? h("p", { class: "small" }, t("Closed: a child who comes now is weighed late.")) : null,
      h(
        "nav",
        { class: "ways", "aria-label": t("Also here") },
        isClosed ? link(t("A late child"), here("late")) : link(t("Not here"), here("absent")),
        link(t("Other number"), here("other-number")),
        link(t("Scale trouble"), here("scale-trouble")),
        link(t("Note a concern"), here("concern")),
        link(t("What is left"), `#/game/${game}/left`),
        link(t("First screen"), `#/game/${game}`),
        names.areCovered() ? link(t("Show names"), "#/unlock") : null,
        link(isClosed ? t("Sign the list") : left ? t("Close") : t("Nobody left: close"), here(isClosed ? "sign" : "close"), { class: left || isClosed ? null : "primary" }),
      ),
    );
  }

  const drawn = drawer(
    () => [refused(), typed, side().children.map((one) => [one.player, one.number, one.done, one.listed, one.weighs.length]), model.acts().length, aside, names.areCovered(), side().closed_at, model.fold.scale, newHere],
    () => {
      const found = find(side().children, typed);
      grid.draw(side().children, { aside, refused: refused(), meant: typed.trim() ? new Set(found.all.map((one) => one.player)) : null });
      drawMeant();
      drawBack();
      drawFoot();
    },
  );

  function draw() {
    drawn();
    top.draw();
  }

  function onKey(event) {
    const isTyping = event.target.matches("input, textarea, select") || event.ctrlKey || event.altKey || event.metaKey;
    if (!isTyping && event.key.length === 1 && /[\p{L}\p{N}]/u.test(event.key)) field.focus();
  }

  replace(
    root,
    top.node,
    h("div", { class: "weigh" }, headline(side().name, { class: "unseen" }), field, meant, grid.node, foot),
    thumb(app, game, back),
  );
  draw();
  // On a phone the field would open the keyboard over the numbers.
  (matchMedia("(hover: hover)").matches ? field : root.querySelector("h1")).focus({ preventScroll: true });
  addEventListener("keydown", onKey);
  const hear = (found) => { newHere = found; draw(); };
  const stops = [model.onChange(draw), names.onCover(draw), onNewcomers(app, game, hear), top.end, () => removeEventListener("keydown", onKey)];
  return () => stops.forEach((stop) => stop());
}

/** The limit, or why the scale does not simply stand at it. */
function onScale({ head, fold }) {
  const { out, proved, station } = fold.scale;
  if (out) return t("by the book");
  if (!proved) return t("the scale does not pass");
  return station.limit_clb === head.limit_clb ? t("{limit} lb", { limit: pounds(head.limit_clb) }) : t("the scale is set to {n} lb", { n: pounds(station.limit_clb) });
}
