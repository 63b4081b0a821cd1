/**
 * A counter's sets of one half: kept on this device from the first tap, told to the ledger in counts.
 *
 * Each play is one set, the ids of those on the field; what was stated last is kept beside, so that
 * only counts that changed are stated again. One key of `shape` for each game, team, half, official.
 */

import * as db from "../db.js";
import { state } from "../queue.js";

const PREFIX = "plays:";
const MOST_ENTRIES = 30;
const listeners = new Set();
const toSend = new Map();

// No id holds a colon, so the parts can be told apart.
const keyOf = ({ game, team, half, by }) => `${PREFIX}${game}:${team}:${half}:${by}`;

const fresh = (base, snaps, isTold) => ({ base, snaps, sets: [], on: [], stated: isTold ? { counts: base, snaps } : { counts: {}, snaps: 0 } });

/** The tally of this place, or null where this official has counted nothing on this device. */
export const read = (place) => db.read("shape", keyOf(place)).then((kept) => kept ?? null);

/**
 * Begins a tally; `base` are counts by player to go on from, `snaps` the plays behind them. `isTold`:
 * this official has stated these already; another's are stated again, under the new counter's name.
 */
export function begin(place, { base = {}, snaps = 0, isTold = true } = {}) {
  return changed(place, (kept) => kept ?? fresh(base, snaps, isTold));
}

/** One play with these on the field; null for a play that does not count. Who is on stays. */
export const add = (place, on) => changed(place, (kept) => ({ ...kept, on: on ?? kept.on, sets: [...kept.sets, on] }));

/** Takes the last tap back. */
export const undo = (place) =>
  changed(place, (kept) => {
    const sets = kept.sets.slice(0, -1);
    return { ...kept, sets, on: sets.findLast((one) => one !== null) ?? kept.on };
  });

/** A count that was agreed by hand, in place of what the sets say. */
export const correct = (place, player, count) =>
  changed(place, (kept) => {
    const counted = countsOf({ ...kept, base: {} })[player] ?? 0;
    return { ...kept, base: { ...kept.base, [player]: count - counted } };
  });

// One transaction reads and writes: two tabs of one counter lose no play.
async function changed(place, change) {
  const key = keyOf(place);
  let now = null;
  await db.transact(["shape"], "readwrite", (store) => {
    const request = store.get(key);
    request.onsuccess = () => {
      now = change(request.result ?? null);
      store.put(now, key);
    };
    return request;
  }, "strict");
  note(key, Math.abs(snapsOf(now) - now.stated.snaps));
  return now;
}

function note(key, plays) {
  toSend.set(key, plays);
  for (const listener of listeners) listener();
}

/** How many plays of this page are counted and not told yet. */
export const waitingPlays = () => [...toSend.values()].reduce((sum, plays) => sum + plays, 0);

export function onChange(listener) {
  listeners.add(listener);
}

/** Plays by player. */
export function countsOf(kept) {
  const counts = { ...kept.base };
  for (const set of kept.sets) for (const player of set ?? []) counts[player] = (counts[player] ?? 0) + 1;
  return counts;
}

export const snapsOf = (kept) => kept.snaps + kept.sets.filter((set) => set !== null).length;

/** The entries that tell the ledger what it does not have yet. */
export function untold(kept, { team, half }) {
  const counts = countsOf(kept);
  const players = Object.keys({ ...kept.stated.counts, ...counts });
  const entries = players
    .filter((player) => (counts[player] ?? 0) !== (kept.stated.counts[player] ?? 0))
    .map((player) => ({ kind: "plays", team, player, half: String(half), count: String(counts[player] ?? 0) }));
  if (snapsOf(kept) !== kept.stated.snaps) entries.push({ kind: "snaps", half: String(half), count: String(snapsOf(kept)) });
  return entries;
}

let telling = Promise.resolve();

/** States what is untold, as acts in the queue: one after the other, so that nothing is told twice. */
export function tell(place) {
  const told = telling.then(() => tellNow(place));
  telling = told.catch(() => {});
  return told;
}

async function tellNow(place) {
  const kept = await read(place);
  if (!kept) return;
  const entries = untold(kept, place);
  const stated = { counts: countsOf(kept), snaps: snapsOf(kept) };
  // In one step with the last act: a page that is closed here tells nothing twice.
  const noted = (shape) => {
    const request = shape.get(keyOf(place));
    request.onsuccess = () => shape.put({ ...request.result, stated }, keyOf(place));
  };
  for (let at = 0; at < entries.length; at += MOST_ENTRIES) {
    const also = at + MOST_ENTRIES < entries.length ? undefined : noted;
    await state(entries.slice(at, at + MOST_ENTRIES), { game: place.game, by: place.by, also });
  }
  const now = await read(place);
  note(keyOf(place), Math.abs(snapsOf(now) - now.stated.snaps));
}

/** States what a closed or killed page left behind, of every game on this device. */
export async function tellAll() {
  const keys = await db.transact(["shape"], "readonly", (store) => store.getAllKeys(IDBKeyRange.bound(PREFIX, `${PREFIX}\uffff`)));
  for (const key of keys.result) {
    const [game, team, half, by] = key.slice(PREFIX.length).split(":");
    await tell({ game, team, half: Number(half), by });
  }
}
