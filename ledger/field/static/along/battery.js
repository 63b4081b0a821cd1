/** The battery, where the browser tells of it. Under a fifth, in a game: print or copy now, said once. */

const LOW = 0.2;
const IN_GAME = /^#\/game\/([^/]+)\/(.+)/;
let battery = null;
let isTold = false;

export async function begin(changed) {
  battery = (await navigator.getBattery?.().catch(() => null)) ?? null;
  for (const kind of ["levelchange", "chargingchange"]) battery?.addEventListener(kind, changed);
  changed();
}

/** From 0 to 1; null where it is not known. */
export const level = () => battery?.level ?? null;

export const isLow = () => battery !== null && !battery.charging && battery.level < LOW;

/** Where to print, in a game whose device is about to go dark; null otherwise, and once one was there. */
export function paperNow(hash) {
  const [, game, place] = IN_GAME.exec(hash) ?? [];
  if (place === "paper") isTold = true;
  return game && isLow() && !isTold ? `#/game/${game}/paper` : null;
}
