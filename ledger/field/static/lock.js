/**
 * One tab at a time. By Web Locks where the browser has them, else by a lease in IndexedDB.
 *
 * What runs inside is safe to run twice: a lock that a frozen tab holds is taken over after a while.
 */

import * as db from "./db.js";

const PATIENCE_MS = 25_000;
const LEASE_MS = 15_000;
const me = crypto.getRandomValues(new Uint32Array(2)).join("-");

/** Runs `work` while no other tab runs one of that name; resolves with its result. */
export async function alone(name, work) {
  if (!navigator.locks) return leased(name, work);
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  const run = () => {
    clearTimeout(timer);
    return work();
  };
  try {
    return await navigator.locks.request(name, { signal: stop.signal }, run);
  } catch (error) {
    if (!stop.signal.aborted) throw error;
    return navigator.locks.request(name, { steal: true }, work);
  } finally {
    clearTimeout(timer);
  }
}

async function leased(name, work) {
  if (!(await take(name))) return false;
  try {
    return await work();
  } finally {
    await give(name);
  }
}

/** Takes the lease if it is free, ours, run out, or from a clock that was far ahead. */
async function take(name) {
  const found = await lease(name, (held) => {
    const left = (held?.until ?? 0) - Date.now();
    return !held || held.holder === me || left < 0 || left > LEASE_MS ? { holder: me, until: Date.now() + LEASE_MS } : held;
  });
  return found.holder === me;
}

const give = (name) => lease(name, (held) => (held?.holder === me ? null : held));

async function lease(name, next) {
  const result = await db.transact(["device"], "readwrite", (place) => {
    const box = {};
    const request = place.get(name);
    request.onsuccess = () => {
      box.lease = next(request.result);
      if (box.lease) place.put(box.lease, name);
      else place.delete(name);
    };
    return box;
  });
  return result.lease;
}
