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
const TAKEN_OVER_MS = 3000;

/** `{official, at, date, day, games, opened}` of this official; null where nothing was taken. */
export async function taken(official) {
  const found = await db.read("device", KEY);
  return found?.official === official ? found : null;
}

/** Reads these games and keeps them. Rejects with the ApiError where one does not come. */
export async function take(official, day, games) {
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
  const found = { official, at: new Date().toISOString(), date: day.date, day: day.day, games: games.map((one) => one.game), opened: before?.date === day.date ? before.opened : null };
  await db.write("device", KEY, found);
  return found;
}

/** Whether each game is really on the disk, with its numbers. */
export async function areKept(games) {
  const kept = await Promise.all(games.map((game) => db.read("shape", `game:${game}`)));
  return kept.every((one) => one?.head.teams.every((side) => side.players.length > 0));
}

/** Whether a worker is in control, and all that the page loads lies in its cache. */
export async function opensAlone() {
  if (!(await isControlled())) return false;
  const files = [...document.querySelectorAll("script[src], link[rel=stylesheet], link[rel=modulepreload]")].map((one) => one.src || one.href);
  const found = await Promise.all([location.origin + "/", ...files].map((file) => caches.match(file)));
  return found.every(Boolean);
}

/** A worker that is new takes the page over a moment after it began. */
function isControlled() {
  const { serviceWorker } = navigator;
  if (!serviceWorker || serviceWorker.controller) return Boolean(serviceWorker);
  return new Promise((resolve) => {
    serviceWorker.addEventListener("controllerchange", () => resolve(true), { once: true });
    setTimeout(resolve, TAKEN_OVER_MS, false);
  });
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
