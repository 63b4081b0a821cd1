/**
 * Taking a day along: its games on this device, by number, and the proof that the page opens alone.
 *
 * No browser says of itself that its window is private, and forgets: Chromium tells the same of both
 * (measured in storage.persist and storage.estimate). So what is kept here is the proof: a window
 * that was closed, and opened again without a network, remembers.
 */

import { get } from "../api.js";
import * as db from "../db.js";
import { open as openGame } from "../game.js";

const KEY = "along";
const LONGEST_MS = 24 * 3_600_000;

/** `{official, at, date, day, games, until, opened}` of this official; null where nothing was taken. */
export async function taken(official) {
  const found = await db.read("device", KEY);
  return found?.official === official ? found : null;
}

/** Reads these games and keeps them. Rejects with the ApiError where one does not come. */
export async function take(official, day, games, until) {
  const before = await taken(official);
  for (const { game } of games) {
    const model = await openGame(game);
    try {
      await model.refresh();
      if (model.error) throw model.error;
    } finally {
      model.close();
    }
  }
  const found = { official, at: new Date().toISOString(), date: day.date, day: day.day, games: games.map((one) => one.game), until: until ?? before?.until, opened: before?.date === day.date ? before.opened : null };
  await db.write("device", KEY, found);
  return found;
}

/**
 * Whether a device goes on by number where the server says that nobody is signed in: the session of
 * the evening before ran out by the clock. One that ended before was revoked, and is not waited for.
 */
export async function goesOn(official) {
  const found = await taken(official);
  const left = Date.parse(found?.until) - Date.now();
  if (left > 0) await forget();
  return left <= 0 && left > -LONGEST_MS;
}

export const forget = () => db.forget("device", KEY);

/** Whether each game is really on the disk, with its numbers. */
export async function areKept(games) {
  const kept = await Promise.all(games.map((game) => db.read("shape", `game:${game}`)));
  return kept.every((one) => one?.head.teams.every((side) => side.players.length > 0));
}

/**
 * Whether a worker is active, and all that the page loads lies in its cache. It need not control this
 * page yet: one that was reloaded while the worker began is only taken over when it opens next.
 */
export async function opensAlone() {
  const found = await navigator.serviceWorker?.getRegistration().catch(() => null);
  if (!found?.active) return false;
  const files = [...document.querySelectorAll("script[src], link[rel=stylesheet], link[rel=modulepreload]")].map((one) => one.src || one.href);
  const kept = await Promise.all([location.origin + "/", ...files].map((file) => caches.match(file)));
  return kept.every(Boolean);
}

/** By how many seconds this clock is ahead of the server's; behind is negative. */
export async function clockOff() {
  const before = Date.now();
  const { now } = await get("/api/day");
  return Math.round(((before + Date.now()) / 2 - Date.parse(now)) / 1000);
}

/** The page opened and no server answered. A mere reload proves the cache, not the window. */
export async function opened() {
  const found = await db.read("device", KEY);
  if (!found) return;
  const isReload = performance.getEntriesByType("navigation")[0]?.type === "reload";
  if (isReload && found.opened?.anew) return;
  await db.write("device", KEY, { ...found, opened: { at: new Date().toISOString(), anew: !isReload } });
}
