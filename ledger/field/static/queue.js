/**
 * Never loses a tap: an act is on this device's disk before the tap counts as done, goes to the
 * server in order, and leaves only after the server said that it has it.
 *
 * Sending is safe to repeat: the server knows an act by its id. One tab sends at a time.
 */

import * as acts from "./acts.js";
import { ApiError, post } from "./api.js";
import { id as deviceId } from "./device.js";
import { alone } from "./lock.js";
import { t } from "./words.js";

const PAUSES_MS = [500, 1000, 2000, 4000, 7000, 10_000];
const TURN_MS = 5000;
const REPORT_MS = 30_000;
const MOST_FAULTS = 3;
/** What only waits for a person: the others' acts go on, so that one session holds up nobody else. */
const PEOPLES = new Set(["signed_out", "to_confirm"]);

const COLUMNS = [
  "at", "entered", "kind", "game", "team", "player", "number", "name", "by", "value", "reason", "half", "count",
  "reading", "limit", "initials", "case", "to", "kickoff", "site", "ref", "target", "note",
];

const NOT_OURS = new Set(["entered", "game", "by", "ref"]);
/** Kinds that stand for themselves: their lines in a day file name no game. */
const WITHOUT_GAME = new Set(["withdraw", "case_refer", "case_statement", "case_exhibit", "case_close"]);

const listeners = new Set();
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("weighbook-acts") : null;
let kept = [];
let why = null;
let clockOff = 0;
let failures = 0;
let timer = 0;
let sending = false;
let wanted = false;
let taps = 0;
let told = "";
const open = new Set();
const faults = new Map();

/**
 * What one tap states: 1 to 30 entries, recorded all or none. Resolves with the kept act once it is
 * on the disk; rejects with a StorageError where it is not, and then the tap is not held. `also`
 * writes to the store "shape" in the same step. `entered`: when it was typed in, where it happened before.
 */
export async function state(entries, { game, by, fine = false, entered, also }) {
  const at = new Date().toISOString();
  const own = entries.map((cells) => texts({ at, ...cells }));
  const act = await acts.keep({ game, by, fine, entered, entries: own, also });
  taps++;
  kept = [...kept, act];
  tell();
  channel?.postMessage("changed");
  kick();
  return act;
}

/** The cells of a day file that are not empty; the act says game and by, the server entered. */
function texts(cells) {
  const given = COLUMNS.filter((column) => !NOT_OURS.has(column)).map((column) => [column, String(cells[column] ?? "")]);
  return Object.fromEntries(given.filter(([, text]) => text !== ""));
}

/** Entries that take these ones back (or bring them back, where these are withdrawals). */
export function withdrawals(entries, reason) {
  return entries.map((entry) => ({ kind: "withdraw", target: entry.event ?? entry.ref, reason }));
}

/** Acts that will go by themselves, oldest first. */
export const waiting = () => parted().waiting;

/**
 * Acts that need somebody: `{act, error: {code, message, hint, questions?}, behind: [acts]}`. The
 * acts behind one take its entries back: the server could not know those, so they wait with it.
 */
export const aside = () => parted().aside;

/** Acts that the server has, and no read of their game has shown yet. */
export const recorded = () => kept.filter((act) => act.state === "recorded");

/** `{n, aside, why, clock_off_s}`: why is null, "network", "signed_out", "to_confirm" or "busy". */
export function standing() {
  const found = parted();
  return { n: found.waiting.length, aside: found.aside.length, why: found.waiting.length ? why : null, clock_off_s: clockOff };
}

/** "All saved", "3 wait on this phone", "1 needs you": for the strip of every screen. */
export function onChange(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function parted() {
  const refused = kept.filter((act) => act.state === "aside").map((act) => ({ act, error: act.error, behind: [] }));
  const left = [];
  for (const act of kept.filter((one) => one.state === "waiting")) {
    const before = refused.find((one) => [one.act, ...one.behind].some((other) => targets(act, other)));
    if (before) before.behind.push(act);
    else left.push(act);
  }
  return { waiting: left, aside: refused };
}

function targets(act, other) {
  return act.entries.some((entry) => other.entries.some((one) => one.ref === entry.target));
}

/** Sends an act that stood aside once more; `fine` answers what was asked about its words, `entries` have others. */
export async function again(act, { fine = false, entries = null } = {}) {
  await acts.again(act, fine, entries);
  await changed();
  kick();
}

/** Sends an act whose id was in use as a new one, and what takes it back after it. */
export async function renew(act) {
  const found = aside().find((one) => one.act.act === act.act);
  if (found) await acts.renew([found.act, ...found.behind]);
  await changed();
  kick();
}

/** Drops an act that stood aside, and what takes it back. It was never recorded. */
export async function letGo(act) {
  const found = aside().find((one) => one.act.act === act.act);
  await acts.letGo([act, ...(found?.behind ?? [])]);
  await changed();
}

/** Reads what is kept, and begins to send. */
export async function begin() {
  setInterval(() => open.size > 0 && document.visibilityState === "visible" && report(true), REPORT_MS);
  await acts.forgetRecorded(() => false);
  await reload();
  if (channel) {
    channel.onmessage = async () => {
      await reload();
      kick();
    };
  }
  addEventListener("online", kick);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && kick());
  kick();
}

async function reload() {
  let found;
  let before;
  do {
    before = taps;
    found = await acts.all();
  } while (before !== taps);
  kept = found;
  tell();
}

async function changed() {
  await reload();
  channel?.postMessage("changed");
}

function tell() {
  for (const listener of listeners) listener();
}

/** Tries now: something is new, or the network may be back. */
export function kick() {
  failures = 0;
  clearTimeout(timer);
  send();
}

async function send() {
  wanted = true;
  if (sending) return;
  sending = true;
  try {
    while (wanted) {
      wanted = false;
      if (waiting().length === 0) continue;
      const isThrough = await alone("weighbook-send", turn);
      if (isThrough) report();
      if (isThrough) {
        failures = 0;
        wanted ||= waiting().length > 0 && why === null;
      } else {
        pause();
      }
    }
  } catch {
    // The lock was taken over, or the disk did not answer: what is kept is kept, so try later.
    pause();
  } finally {
    sending = false;
  }
}

function pause() {
  clearTimeout(timer);
  timer = setTimeout(send, PAUSES_MS[Math.min(failures++, PAUSES_MS.length - 1)] * (0.8 + 0.4 * Math.random()));
}

/** Sends for a while under the lock. Returns false where something has to be tried again later. */
async function turn() {
  await reload();
  const until = Date.now() + TURN_MS;
  const stuck = new Map();
  const faulty = [];
  let isAnswered = false;
  const isHeldUp = (act) => faulty.some((one) => one.act === act.act || targets(act, one));
  while (Date.now() < until) {
    const act = waiting().find((one) => !stuck.has(one.by) && !isHeldUp(one));
    if (!act) break;
    const reason = await sendOne(act);
    if (reason === null) isAnswered = true;
    else if (reason === "fault" && isFaulty(act)) faulty.push(act);
    else if (PEOPLES.has(reason)) stuck.set(act.by, reason);
    else {
      setWhy(reason === "fault" ? "busy" : reason);
      return false;
    }
  }
  // Where others are answered, or there are no others, the fault is with the act.
  const isAlone = faulty.length === 1 && waiting().every(isHeldUp);
  const isKnown = isAnswered || isAlone;
  if (isKnown) for (const act of faulty) await setAside(act, faults.get(act.act).error);
  setWhy(stuck.values().next().value ?? (faulty.length > 0 && !isKnown ? "busy" : null));
  return stuck.size === 0 && why === null;
}

/** Whether the server failed at this act so often that it stops the others no longer. */
const isFaulty = (act) => faults.get(act.act).n >= MOST_FAULTS;

function setWhy(reason) {
  if (why === reason) return;
  why = reason;
  tell();
}

async function sendOne(act) {
  try {
    const answer = await post("/api/acts", {
      act: act.act,
      game: act.game,
      by: act.by,
      fine: act.fine,
      entered: act.entered,
      entries: act.entries,
      clock: new Date().toISOString(),
      held: held(act),
    });
    if (!Array.isArray(answer.events) || answer.act !== act.act) throw new ApiError(0);
    clockOff = answer.clock_off_s ?? 0;
    await acts.recorded(act, answer);
  } catch (error) {
    if (!(error instanceof ApiError)) throw error;
    const reason = waitsFor(error);
    if (reason === "fault") faults.set(act.act, { n: (faults.get(act.act)?.n ?? 0) + 1, error });
    if (reason) return reason;
    if (error.code === "differs") await acts.newIdentity();
    await setAside(act, error);
    return null;
  }
  await changed();
  return null;
}

async function setAside(act, { status, code, message, hint, body }) {
  faults.delete(act.act);
  await acts.aside(act, { status, code, message, hint, questions: body.questions ?? body.error?.questions });
  await changed();
}

const LATER = new Set([408, 421, 425, 429]);

/** Why an act, or a signature, waits after this answer; null where only a person can help. */
export function waitsFor({ status, code, body }) {
  if (status === 0) return "network";
  if (status === 401) return "signed_out";
  if (status === 403 && code === "to_confirm") return "to_confirm";
  if (status === 500 && code === "fault") return "fault";
  if (status === 403) return code === "not_yours" ? null : "busy";
  // Only our server's own word sets an act aside: something between us may answer anything.
  const isOurs = Boolean(body.error?.code);
  return status < 500 && isOurs && !LATER.has(status) ? null : "busy";
}

/** How many acts of each game this device still holds; `but` is on its way. */
function held(but = null) {
  // A game is told with 0 once it was told at all: the server forgets none by itself.
  for (const act of kept) if (act.game) open.add(act.game);
  const counts = Object.fromEntries([...open].map((game) => [game, 0]));
  for (const act of kept) {
    if (act.game && act.state !== "recorded" && act.act !== but?.act) counts[act.game]++;
  }
  told = JSON.stringify(counts);
  return counts;
}

/** Tells the server what is held here, for whoever is about to sign; of `game` also that nothing is. */
export function watch(game) {
  open.add(game);
  report(true);
}

async function report(always = false) {
  const before = told;
  const counts = held();
  if (!always && told === before) return;
  try {
    await post("/api/devices", { device: await deviceId(), held: counts });
  } catch {
    told = "";
  }
}

/** Forgets recorded acts that a read of their game has shown. */
export async function shown(isShown) {
  if (!recorded().some(isShown)) return;
  await acts.forgetRecorded(isShown);
  await reload();
}

/** What is not recorded, as a file that `weighbook enter` takes; null where nothing waits. */
export function file() {
  const lines = kept.filter((act) => act.state !== "recorded").flatMap((act) =>
    act.entries.map((entry) => ({ ...entry, entered: act.entered, game: WITHOUT_GAME.has(entry.kind) ? "" : act.game, by: act.by })));
  if (lines.length === 0) return null;
  const used = COLUMNS.filter((column) => lines.some((line) => line[column]));
  const rows = [used, ...lines.map((line) => used.map((column) => line[column] ?? ""))];
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}

const cell = (text) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** Saves `file()` where the browser puts downloads. Returns its name, or null. */
export function saveFile() {
  const text = file();
  if (text === null) return null;
  const link = document.createElement("a");
  const stamp = new Date().toISOString().slice(0, 16).replaceAll(":", "");
  link.download = t("waiting-{stamp}.csv", { stamp });
  link.href = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return link.download;
}
