/** What this device remembers of itself: its id, who is active on it. Ids only; of the league its zone, and whether it is invented. */

import * as acts from "./acts.js";
import * as db from "./db.js";

export const id = acts.device;

let official = null;
let zone;
let practice = false;

/** The official who taps now, by id; null where nobody is. */
export const active = () => official;

export async function setActive(next) {
  official = next;
  await db.write("device", "active", next);
}

/** The league's time zone as the last game or day had it, where no game is open. */
export const timeZone = () => zone;

export async function setTimeZone(next) {
  if (!next || next === zone) return;
  zone = next;
  await db.write("device", "time_zone", next).catch(() => {});
}

/** Whether the ledger is of a practice season, as the server said last. */
export const isPractice = () => practice;

export async function setPractice(is) {
  if (is === practice) return;
  mark(is);
  await db.write("device", "is_practice", is).catch(() => {});
}

function mark(is) {
  practice = is;
  document.documentElement.toggleAttribute("data-is-practice", is);
}

export async function begin() {
  mark(Boolean(await db.read("device", "is_practice")));
  zone = (await db.read("device", "time_zone")) ?? undefined;
  official = (await db.read("device", "active")) ?? null;
  // Without this the browser may throw away what waits when the disk is full. No answer is needed.
  navigator.storage?.persist?.().catch(() => {});
}
