/** What this device remembers of itself: its id, who is active on it. Ids only, and the league's zone. */

import * as acts from "./acts.js";
import * as db from "./db.js";

export const id = acts.device;

let official = null;
let zone;

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

export async function begin() {
  zone = (await db.read("device", "time_zone")) ?? undefined;
  official = (await db.read("device", "active")) ?? null;
  // Without this the browser may throw away what waits when the disk is full. No answer is needed.
  navigator.storage?.persist?.().catch(() => {});
}
