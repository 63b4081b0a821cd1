/** What this device remembers of itself: its id, who is active on it. Ids only. */

import * as acts from "./acts.js";
import * as db from "./db.js";

export const id = acts.device;

let official = null;

/** The official who taps now, by id; null where nobody is. */
export const active = () => official;

export async function setActive(next) {
  official = next;
  await db.write("device", "active", next);
}

export async function begin() {
  official = (await db.read("device", "active")) ?? null;
  // Without this the browser may throw away what waits when the disk is full. No answer is needed.
  navigator.storage?.persist?.().catch(() => {});
}
