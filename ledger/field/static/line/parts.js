/**
 * What the screens of the line share: buttons, the facts of a game, the bar at the thumb, times, pounds.
 */

import { h } from "../dom.js";
import * as names from "../names.js";
import { press } from "../press.js";
import { spoken, t } from "../words.js";
import { daysUntil } from "./times.js";

const MINUTE_MS = 60_000;
const SOON_MIN = 120;
const FACTS_EVERY_MS = 10_000;

/** A button of the line. `answer` rests all buttons after it, `refused` says why it is gray; other keys are attributes. */
export function button(label, run, { answer, long, refused, ...attributes } = {}) {
  return press(h("button", { type: "button", ...attributes }, label), run, { answer, long, refused });
}

export function link(label, hash, attributes) {
  return h("a", { href: hash, ...attributes }, label);
}

/** "97" for 9700, "9.5" for 950. */
export const pounds = (clb) => String(clb / 100);

const shown = (head, options, when) => new Intl.DateTimeFormat(spoken(), { timeZone: head.time_zone, ...options }).format(when);

/** "8:41 AM" in the league's time zone. */
export const clock = (head, when) => shown(head, { hour: "numeric", minute: "2-digit" }, new Date(when));

/** "8:41". */
export const hour = (head, when) =>
  new Intl.DateTimeFormat(spoken(), { timeZone: head.time_zone, hour: "numeric", minute: "2-digit" })
    .formatToParts(new Date(when)).filter((part) => part.type !== "dayPeriod").map((part) => part.value).join("").trim();

/** "Saturday". */
export const weekday = (head, when) => shown(head, { weekday: "long" }, new Date(when));

/** "Saturday, December 5". */
export const date = (head, when) => shown(head, { weekday: "long", month: "long", day: "numeric" }, new Date(when));

const AT_ANOTHER_DAY = { weekday: "short", month: "short", day: "numeric", hour: "numeric", minute: "2-digit" };

/** "kickoff in 17 min", or at which time where that is far away, with the day where it is not today. */
export function kickoff(head, now = Date.now()) {
  if (daysUntil(head, now) !== 0) return t("kickoff {time}", { time: shown(head, AT_ANOTHER_DAY, new Date(head.kickoff)) });
  const minutes = Math.ceil((Date.parse(head.kickoff) - now) / MINUTE_MS);
  if (minutes > 0 && minutes <= SOON_MIN) return t("kickoff in {n} min", { n: minutes });
  return t("kickoff {time}", { time: clock(head, head.kickoff) });
}

/**
 * The strip of a game: what it is about, `texts()`, and whose device it is (one tap hands it over).
 * It draws itself again by the clock until `end()`.
 */
export function facts(app, title, texts) {
  const list = h("p", { class: "facts" });
  const who = link(initials(app), "#/hand-over", { class: "who button", "aria-label": t("You are {initials}. Hand over this device.", { initials: initials(app) }) });
  const draw = () => list.replaceChildren(h("b", {}, title()), ...[...texts(), isToConfirm(app) && t("you are to be confirmed")].filter(Boolean).flatMap((text) => [" · ", h("span", {}, text)]));
  draw();
  const timer = setInterval(draw, FACTS_EVERY_MS);
  return { node: h("div", { class: "top" }, list, who), draw, end: () => clearInterval(timer) };
}

/** The initials of the active official; kept on the device without a network. */
export function initials(app) {
  const known = app.model?.head.people.find((one) => one.official === app.active());
  return known?.initials ?? app.person()?.initials ?? "";
}

/** Whether somebody let the active official in who may not appoint, and nobody has confirmed it. */
export const isToConfirm = (app) => Boolean(app.model?.head.people.some((one) => one.official === app.active() && one.to_confirm));

/** One screen back; to `otherwise` where this one was opened by its address. */
export function goBack(app, otherwise = "#/") {
  if (history.length > 1) history.back();
  else app.go(otherwise);
}

/** Hides everything at once; names stay hidden afterwards until the official unlocks. */
export function coverAll(app) {
  app.cover();
  app.go(`#/cover/${encodeURIComponent(location.hash)}`);
}

/**
 * The bar at the thumb: cover, what the screen gives, paper, hold. Hide and Hold stand at its two ends,
 * since a slip between them would stop the line.
 */
export function thumb(app, game, ...own) {
  const paper = `#/game/${game}/paper`;
  const isThere = location.hash.startsWith(paper) || location.hash.includes("/from-paper/");
  return h(
    "nav",
    { class: "thumb", "aria-label": t("At your thumb") },
    button(t("Hide"), () => coverAll(app)),
    own,
    game && !isThere ? button(t("Paper"), () => app.go(paper)) : null,
    game ? button(t("Hold"), () => app.go(`#/game/${game}/hold`)) : null,
  );
}

/** What a child is called at the table: the number, or "no number". */
export function label(child) {
  return child.number === null ? t("no number") : String(child.number);
}

/** Initials, or the end of an id where no name is known here: to tell twins apart, with names hidden too. */
export const short = (child) => (child.name ? child.name.split(/\s+/).map((word) => word[0]).join("").slice(0, 3) : child.player.slice(-3));

/** The number; with initials where another of these children wears it too: "41 GG". */
export function labelAmong(children, child) {
  const isTwice = child.number !== null && children.some((one) => one.player !== child.player && one.number === child.number);
  return isTwice ? `${label(child)} ${short(child)}` : label(child);
}

/** A child's name, small. While names are hidden a long press shows it, and a short one unlocks. */
export function nameLine(app, child) {
  if (!child.name) return h("p", { class: "whose-name" }, app.model.has_names ? t("goes by number") : t("no names without a network"));
  if (!names.areCovered()) return h("p", { class: "whose-name" }, child.name);
  const node = h("p", { class: "whose-name" });
  const dots = () => node.replaceChildren(held);
  const held = button(t("name hidden"), () => app.go("#/unlock"), {
    class: "hidden-name",
    long: () => {
      node.textContent = child.name;
      for (const end of ["pointerup", "pointercancel", "keyup"]) addEventListener(end, dots, { once: true });
    },
  });
  dots();
  return node;
}

/** The same sign for every answer: the device trembles once and the page blinks once. */
export function felt() {
  navigator.vibrate?.(40);
  document.body.classList.add("felt");
  setTimeout(() => document.body.classList.remove("felt"), 160);
}

/** Draws only where what is shown has changed: a button under a finger must stay where it is. */
export function drawer(shownNow, draw) {
  let before;
  return (isForced = false) => {
    const now = JSON.stringify(shownNow(), (_, value) => (value instanceof Set ? [...value].sort() : value));
    if (now === before && !isForced) return;
    before = now;
    keepingFocus(draw);
  };
}

const signOf = (node) => [...["href", "name", "aria-label"].map((key) => node.getAttribute(key)), node.type === "radio" && node.value, node.textContent].join();
const rowButtons = (main) => [...main.querySelectorAll(".rows :is(a, button)")];

/** What is drawn anew keeps the focus; what is gone gives it to what took its place in the rows, else to the heading. */
export function keepingFocus(draw) {
  const main = document.querySelector("main");
  const held = main.contains(document.activeElement) && document.activeElement;
  const row = rowButtons(main).indexOf(held);
  draw();
  const isPlaced = main.contains(document.activeElement);
  if (!held || held.isConnected || isPlaced) return;
  const same = [...main.querySelectorAll(held.localName)].find((one) => signOf(one) === signOf(held));
  (same ?? (row < 0 ? null : rowButtons(main)[row]) ?? main.querySelector("h1"))?.focus({ preventScroll: !same });
}

/** Focus to the screen's heading, so that a screen reader begins there. */
export function headline(text, attributes) {
  return h("h1", { tabindex: "-1", ...attributes }, text);
}
