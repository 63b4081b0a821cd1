/**
 * Counting plays: sets, not children. "Same eleven" counts a play, "Change" taps out and in, "No
 * play" counts none. `#/game/G/plays/T`
 *
 * Numbers stay in their places; only children still due are large. What is tapped is on this device
 * at once, and told to the ledger in counts (after/tally.js).
 */

import { counters, dueOf, required } from "../after/due.js";
import { joined } from "../after/parts.js";
import * as tally from "../after/tally.js";
import { h, replace } from "../dom.js";
import { inPlace } from "../line/finding.js";
import { button, clock, coverAll, facts, felt, headline, keepingFocus, label, link } from "../line/parts.js";
import { t, tn } from "../words.js";

const TELL_PLAYS = 10;
const TELL_MS = 180_000;
const halfName = (half) => ({ 1: t("First half"), 2: t("Second half"), 3: t("Overtime") })[half];

export async function show(root, { game, team }, app) {
  const { model } = app;
  if (!team) return choose(root, app, game);
  const by = app.active();
  const side = () => model.team(team);
  const firstOpen = () => [1, 2].find((one) => !model.fold.half_ended[one]) ?? 3;
  let half = firstOpen();
  let kept = null;
  let changing = null;
  let isAll = false;
  let timer = 0;
  const place = () => ({ game, team, half, by });

  const top = facts(app, () => side().name, () => [halfName(half), kept && tn("{n} play", "{n} plays", tally.snapsOf(kept))]);
  const halves = h("nav", { class: "values", "aria-label": t("Which half") });
  const said = h("div", {});
  const due = h("p", { class: "still", role: "status" });
  const grid = h("ul", { class: "tiles field", role: "list" });
  const more = h("div", { class: "more" });
  const bar = h("div", { class: "thumb two", role: "group", "aria-label": t("At your thumb") });
  const nodes = new Map();

  async function open() {
    kept = await tally.read(place());
    const others = counters(model, team, half);
    const own = others.find((one) => one.official === by);
    if (!kept && (own || others.length === 0)) kept = await tally.begin(place(), { base: own?.counts, snaps: own?.snaps ?? 0 });
    changing = kept && kept.on.length === 0 ? new Set(await lastOn()) : null;
    draw();
  }

  const lastOn = async () => (half > 1 ? (await tally.read({ ...place(), half: half - 1 }))?.on ?? [] : []);

  async function begin(from) {
    kept = await tally.begin(place(), { base: from?.counts, snaps: from?.snaps ?? 0, isTold: from === null });
    changing = new Set(await lastOn());
    draw();
  }

  async function count(on) {
    kept = await tally.add(place(), on);
    changing = null;
    felt();
    draw();
    const untold = Math.abs(tally.snapsOf(kept) - kept.stated.snaps);
    if (untold >= TELL_PLAYS) tell();
    else if (!timer) timer = setTimeout(tell, TELL_MS);
  }

  async function noPlay() {
    await count(null);
    app.say(t("No play. Nothing is counted."));
  }

  async function undo() {
    kept = await tally.undo(place());
    changing = kept.on.length ? null : new Set();
    felt();
    draw();
    if (!timer) timer = setTimeout(tell, TELL_MS);
  }

  async function tell() {
    clearTimeout(timer);
    timer = 0;
    await tally.tell(place());
    kept = await tally.read(place());
  }

  async function turnTo(next) {
    await tell();
    half = next;
    await open();
  }

  function toggle(player) {
    changing ??= new Set(kept.on);
    if (!changing.delete(player)) changing.add(player);
    draw();
  }

  function shown() {
    const counted = new Set(kept.sets.flat());
    return inPlace(side().children.filter((one) => isAll || one.may_play !== "none" || counted.has(one.player) || changing?.has(one.player)));
  }

  function drawGrid() {
    const minimum = required(model.head, side());
    const counts = tally.countsOf(kept);
    const on = changing ?? new Set(kept.on);
    const children = shown();
    let still = 0;
    for (const child of children) {
      const left = dueOf(child, minimum, half, counts);
      still += left > 0 ? 1 : 0;
      if (!nodes.has(child.player)) {
        const tile = button("", () => toggle(child.player), { class: "tile" });
        nodes.set(child.player, { tile, item: h("li", {}, tile) });
      }
      const { tile } = nodes.get(child.player);
      const text = left > 0 ? tn("{n} due", "{n} due", left) : "";
      tile.replaceChildren(h("span", { class: "n" }, label(child)), " ", text ? h("span", { class: "whose" }, text) : "");
      tile.dataset.due = left > 0 ? "yes" : "no";
      tile.setAttribute("aria-pressed", String(on.has(child.player)));
      tile.setAttribute("aria-label", `${label(child)}${text ? `, ${text}` : ""}`);
    }
    const items = children.map((one) => nodes.get(one.player).item);
    if (items.length !== grid.children.length || items.some((item, at) => item !== grid.children[at])) grid.replaceChildren(...items);
    replace(due, still ? tn("{n} child is still due plays.", "{n} children are still due plays.", still) : t("Every child has the plays due."));
  }

  function drawBar() {
    const n = changing ? changing.size : kept.on.length;
    const keys = changing
      ? [
          button(n === 11 ? t("Count this eleven") : t("Count with {n}", { n }), () => count([...changing]), { answer: true, class: "first big-count", disabled: n === 0 }),
          kept.on.length ? button(t("Cancel"), () => { changing = null; draw(); }) : null,
        ]
      : [
          button(n === 11 ? t("Same eleven") : t("Same {n}", { n }), () => count(kept.on), { answer: true, class: "first big-count" }),
          button(t("Change"), () => { changing = new Set(kept.on); draw(); }),
        ];
    const rest = [
      button(t("No play"), noPlay, { answer: true, disabled: Boolean(changing) }),
      button(t("Undo"), undo, { answer: true, disabled: kept.sets.length === 0 }),
      button(t("Hide"), () => coverAll(app)),
    ];
    const held = bar.contains(document.activeElement) ? [...bar.querySelectorAll("button")].indexOf(document.activeElement) : -1;
    replace(bar, h("div", {}, keys), h("div", {}, rest));
    if (held >= 0) bar.querySelectorAll("button")[held]?.focus();
  }

  function drawSaid() {
    const ended = model.fold.half_ended[half];
    replace(
      halves,
      [1, 2, 3].map((one) => button(halfName(one), () => turnTo(one), { "aria-pressed": String(one === half) })),
    );
    replace(
      said,
      ended
        ? h("p", { class: "notice" }, t("Ended at {time}.", { time: clock(model.head, ended.at) }), " ", link(t("Compare the counts"), `#/game/${game}/compare/${team}/${half}`), half < 3 ? button(t("Count on: {half}", { half: halfName(half + 1) }), () => turnTo(half + 1)) : null)
        : null,
      changing ? h("p", { class: "small" }, t("Tap who is on the field, then count.")) : null,
    );
    replace(
      more,
      h(
        "p",
        { class: "ways small" },
        button(isAll ? t("Fewer numbers") : t("Other numbers"), () => { isAll = !isAll; draw(); }, { class: "quiet" }),
        link(t("Compare the counts"), `#/game/${game}/compare/${team}/${half}`),
        link(t("Note a concern"), `#/game/${game}/concern/${team}`),
        model.head.teams.filter((one) => one.team !== team).map((one) => link(t("Plays of the {team}", { team: one.name }), `#/game/${game}/plays/${one.team}`)),
      ),
    );
  }

  /** Another official has counted this half: go on from there, or count beside them. */
  function drawTaking() {
    const others = counters(model, team, half).filter((one) => one.official !== by);
    const whose = (official) => model.head.people.find((one) => one.official === official)?.name ?? t("Someone");
    replace(grid);
    replace(due);
    replace(more);
    replace(bar);
    replace(halves);
    replace(
      said,
      h("p", { class: "ask" }, t("{names} counted this half.", { names: joined(others.map((one) => whose(one.official))) })),
      others.map((one) => button(t("I go on from the count of {name}", { name: whose(one.official) }), () => begin(one), { class: "wide" })),
      button(t("I count too, from zero"), () => begin(null), { class: "wide" }),
    );
  }

  function draw() {
    top.draw();
    keepingFocus(() => {
      if (!kept) return drawTaking();
      drawSaid();
      drawGrid();
      return drawBar();
    });
  }

  replace(root, top.node, h("div", { class: "plays" }, headline(t("Plays of the {team}", { team: side().name }), { class: "unseen" }), halves, said, due, grid, more), bar);
  await open();
  root.querySelector("h1").focus({ preventScroll: true });
  const hidden = () => document.visibilityState === "hidden" && tell();
  document.addEventListener("visibilitychange", hidden);
  const stops = [model.onChange(() => draw()), top.end, () => document.removeEventListener("visibilitychange", hidden), () => tell()];
  return () => stops.forEach((stop) => stop());
}

function choose(root, app, game) {
  replace(
    root,
    h(
      "div",
      {},
      headline(t("Count whose plays?")),
      app.model.head.teams.map((one) => link(one.name, `#/game/${game}/plays/${one.team}`, { class: "button wide" })),
      link(t("Back"), `#/game/${game}`, { class: "button wide" }),
    ),
  );
  root.querySelector("h1").focus();
}
