/** A game on hold: on this device alone, from Hold until somebody goes on, so that every screen says it. */

import * as db from "../db.js";

const KEY = "hold";
const LONGEST_MS = 12 * 3_600_000;
const listeners = new Set();
let held = null;

/** `{game, since, time_zone}`, or null. */
export const onHold = () => (held && Date.now() - Date.parse(held.since) < LONGEST_MS ? held : null);

export async function begin(changed) {
  listeners.add(changed);
  held = (await db.read("device", KEY).catch(() => null)) ?? null;
  changed();
}

/** Since when: from now, where this game is not on hold yet. */
export function hold(head, game) {
  if (onHold()?.game !== game) keep({ game, since: new Date().toISOString(), time_zone: head.time_zone });
  return held.since;
}

export const goOn = () => keep(null);

function keep(found) {
  held = found;
  db.write("device", KEY, found).catch(() => {});
  for (const listener of listeners) listener();
}
