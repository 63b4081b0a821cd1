/**
 * The caller of a practice: above the real screens it tells what is seen and heard at the table, one
 * scene after another, and remembers for the end what only it knows. It states nothing itself.
 */

import { get, post } from "../api.js";
import * as db from "../db.js";
import { h, replace } from "../dom.js";
import { button, link } from "../line/parts.js";
import { practice } from "../place.js";
import { t, told } from "../words.js";
import { holds } from "./holds.js";

const EVERY_MS = 250;
const PAUSE_MS = 1200;
const HINT_MS = 12_000;
const READ_MS = 50;
const MOST_LETTERS = 150;
const KEPT = "practice";
const BEFORE = "weighbook-practice-";
const place = document.querySelector("#caller");
const main = document.querySelector("main");

let app = null;
let morning = null;
let play = null;
let metSince = 0;
let isBusy = false;

const now = () => new Date().toISOString();
const scene = () => morning.scenes[play.at];
const own = () => play.seen.at(-1);
const line = () => scene().lines[play.line];
const screenNow = () => main.dataset.screen;
const isAtHome = () => ["practice-begin", "practice-end"].includes(screenNow());

/** Begins with the page; what was played on a practice before is forgotten. */
export async function begin(page) {
  app = page;
  morning = await get("/api/practice");
  const kept = await db.read("device", KEPT);
  if (kept?.game === morning.game) {
    play = kept;
    // A page that was closed at that moment may not have sent it; twice is as once.
    if (!isOver()) for (const one of scene().lines.slice(0, play.line + 1)) if (one.does) send(one.does);
  }
  forgetOthers();
  setInterval(tick, EVERY_MS);
  new MutationObserver(paint).observe(main, { attributeFilter: ["data-screen"] });
  paint();
  return { home, beginMorning, played };
}

/** Where the first screen is: the game that is played, or the choice of a morning. */
const home = () => (play && !isOver() ? `#/game/${morning.game}` : "#/practice-begin");

const isOver = () => !play || play.at >= morning.scenes.length;

/** A new morning of this kind, with an empty list and book. */
async function beginMorning(kind) {
  morning = await post("/api/practice/begin", { morning: kind });
  play = { game: morning.game, at: -1, seen: [], opened: {} };
  call();
  app.go(home());
}

/** What the end is told, and whether there is more to play. */
const played = () => ({ seen: play?.seen ?? [], opened: play?.opened ?? {}, kind: morning.morning, isOver: isOver() });

/** Calls the next scene. */
function call() {
  play.at += 1;
  metSince = 0;
  if (isOver()) {
    keep();
    app.go("#/practice-end");
    return;
  }
  play.seen.push({ scene: scene().scene, called: now(), notes: [], done: false });
  play.texts = [];
  play.hinted = null;
  tell(0);
  // Who scrolled down would not see what comes next.
  scrollTo(0, 0);
}

function tell(index) {
  play.line = index;
  play.lineAt = Date.now();
  play.isPressed = !line().choices;
  if (line().text) play.texts.push(line().text);
  if (line().settles) own().settled = now();
  if (line().does) send(line().does);
  keep();
  paint();
}

/** What to do, once a line, for whoever sees nothing come; at once for whoever did another thing. */
function hint(text, isAstray = false) {
  if (!text || !play.isPressed || play.hinted === play.line) return;
  if (!isAstray && Date.now() - play.lineAt < HINT_MS) return;
  play.hinted = play.line;
  play.texts.push(text);
  keep();
  paint();
}

function choose(choice) {
  play.isPressed = true;
  play.lineAt = Date.now();
  if (choice.text) play.texts.push(choice.text);
  if (choice.settles) own().settled = now();
  if (choice.note) own().notes.push(choice.note);
  if (choice.does) send(choice.does);
  keep();
  paint();
}

const send = (what) => post("/api/practice/play", { what }).catch(() => app.say(t("No answer from the server.")));

const keep = () => db.write("device", KEPT, play);

/** What is due now: the next line, or the next scene. */
async function tick() {
  if (isBusy || isOver() || app.model?.game !== morning.game) return;
  isBusy = true;
  try {
    noteOpened();
    await step();
  } finally {
    isBusy = false;
  }
}

async function step() {
  const next = scene().lines[play.line + 1];
  const where = { model: app.model, morning, screen: screenNow(), since: own().called };
  if (next) {
    const waited = Date.now() - play.lineAt;
    const isDue = next.when ? await holds(next.when, where) : waited >= (next.after ?? 0) * 1000;
    if (play.isPressed && isDue) tell(play.line + 1);
    else if (next.when) hint(next.hint);
    return;
  }
  const isMet = Boolean(scene().until) && play.isPressed && (await holds(scene().until, where));
  if (!isMet || (scene().until.done && screenNow() === "child")) {
    metSince = 0;
    if (!isMet) hint(scene().hint, Boolean(scene().astray) && (await holds(scene().astray, where)));
    return;
  }
  own().done = true;
  metSince ||= Date.now();
  const reading = (play.texts.at(-1)?.length ?? 0) * READ_MS;
  if (Date.now() - metSince >= PAUSE_MS && Date.now() - play.lineAt >= reading) call();
}

/** When a list was first on the screen to be signed. */
function noteOpened() {
  const [, team] = /\/sign\/([^/]+)/.exec(location.hash) ?? [];
  if (screenNow() === "sign" && team) play.opened[decodeURIComponent(team)] ??= now();
}

const isSwinging = () => play.isPressed && scene().lines.slice(play.line + 1).some((one) => one.settles);

const band = place.querySelector(".band");
const says = h("div", { class: "says", role: "status" });
const choices = h("div", { class: "choices" });
const ways = h("span", { class: "ways" });

function paint() {
  const isPlaying = !isOver() && !isAtHome();
  replace(place, band, isPlaying && [says, choices]);
  place.dataset.scene = isPlaying ? scene().scene : "";
  if (!isPlaying) return ways.remove();
  band.append(ways);
  paintScene();
  return undefined;
}

/** The first thing and the latest: who stands there, and what is seen now. What is between them goes where it is too much. */
function shortened(texts) {
  const isMuch = texts.length > 2 && texts.join("").length > MOST_LETTERS;
  return isMuch ? shortened([texts[0], ...texts.slice(2)]) : texts;
}

function paintScene() {
  const shown = play.isPressed ? shortened(play.texts) : play.texts.slice(-1);
  const isEnded = !scene().lines[play.line + 1] && play.isPressed;
  replace(says, shown.map((text, at) => h("p", { class: at === shown.length - 1 ? "latest" : null }, told(text))));
  replace(choices, play.isPressed ? [] : line().choices.map((one) => button(told(one.label), () => choose(one))), isEnded && !scene().until && button(t("Next"), call, { class: "first" }));
  // While the beam swings there is nothing to do but wait; the place stays, so that nothing moves under a finger.
  replace(ways, h("button", { type: "button", class: isSwinging() ? "quiet gone" : "quiet", onclick: call }, t("Skip")), link(t("Stop"), "#/practice-end"));
}

async function forgetOthers() {
  for (const { name } of (await indexedDB.databases?.()) ?? []) {
    if (name.startsWith(BEFORE) && name !== `${BEFORE}${practice}`) indexedDB.deleteDatabase(name);
  }
}
