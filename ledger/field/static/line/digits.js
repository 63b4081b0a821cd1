/**
 * Four digits that unlock this device for one official: to hand it over, to show names again, and
 * to sign with a key that is kept here.
 *
 * They stay on the device, salted and stretched. They are no passphrase: nothing on the server
 * depends on them. After five wrong tries none are right until the official has signed in anew.
 */

import * as db from "../db.js";

const ROUNDS = 100_000;
const MOST_TRIES = 5;
const key = (official) => `digits:${official}`;

export const isFour = (text) => /^\d{4}$/.test(text);

/** Whether this official has chosen digits here. A browser without these tools has none. */
export async function areSet(official) {
  if (!globalThis.crypto?.subtle) return false;
  return Boolean(await db.read("device", key(official)).catch(() => null));
}

/** Whether wrong digits were typed too often: forgotten ones would let in whoever typed them. */
export async function areLocked(official) {
  const kept = await db.read("device", key(official)).catch(() => null);
  return Boolean(kept && isUsedUp(kept));
}

const isUsedUp = ({ wrong }) => wrong >= MOST_TRIES;

export async function choose(official, digits) {
  if (!globalThis.crypto?.subtle) return;
  const salt = crypto.getRandomValues(new Uint8Array(16));
  await db.write("device", key(official), { salt, hash: await stretched(digits, salt), wrong: 0 });
}

/** "right", "wrong" or "locked" (too many tries, or none chosen). */
export async function check(official, digits) {
  const kept = await db.read("device", key(official));
  if (!kept || isUsedUp(kept)) return "locked";
  const hash = await stretched(digits, kept.salt);
  if (hash === kept.hash) {
    await db.write("device", key(official), { ...kept, wrong: 0 });
    return "right";
  }
  const now = { ...kept, wrong: kept.wrong + 1 };
  await db.write("device", key(official), now);
  return isUsedUp(now) ? "locked" : "wrong";
}

export const forget = (official) => db.forget("device", key(official));

async function stretched(digits, salt) {
  const raw = await crypto.subtle.importKey("raw", new TextEncoder().encode(digits), "PBKDF2", false, ["deriveBits"]);
  const bits = await crypto.subtle.deriveBits({ name: "PBKDF2", hash: "SHA-256", salt, iterations: ROUNDS }, raw, 256);
  return Array.from(new Uint8Array(bits), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
