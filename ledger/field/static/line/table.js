/**
 * What the table knows beyond the ledger: who stepped aside, which game the beam was set for, whose
 * answer is still shown. It stays on this device, by ids, and is no statement.
 */

import * as db from "../db.js";

const parked = new Map();
let last = null;
let newcomer = null;

const keyOf = (game, team) => `aside:${game}:${team}`;

/** The ids of children who stepped aside, in their order. */
export async function steppedAside(game, team) {
  const key = keyOf(game, team);
  if (!parked.has(key)) parked.set(key, (await db.read("device", key).catch(() => null)) ?? []);
  return parked.get(key);
}

export async function stepAside(game, team, player) {
  const others = (await steppedAside(game, team)).filter((one) => one !== player);
  await keep(game, team, [...others, player]);
}

export async function comeBack(game, team, player) {
  const now = await steppedAside(game, team);
  if (now.includes(player)) await keep(game, team, now.filter((one) => one !== player));
}

async function keep(game, team, players) {
  parked.set(keyOf(game, team), players);
  await db.write("device", keyOf(game, team), players).catch(() => {});
}

/** `{game, division, limit_clb}` that the beam was set for on this device, or null. */
export const beam = () => db.read("device", "beam").catch(() => null);

export const setBeam = (found) => db.write("device", "beam", found).catch(() => {});

const paperKey = (game) => `paper:${game}`;

/** `{since, last}`: since when a pen goes on with this game, and the time typed in last; or null. */
export const paper = (game) => db.read("device", paperKey(game)).catch(() => null);

export const setPaper = (game, found) => db.write("device", paperKey(game), found).catch(() => {});

/** The act that is still shown beside "take back": until the next child is opened. */
export const lastShown = () => last;

export function showLast(act) {
  last = act;
}

/** A child who is on no roster, from typing to the first entry: `{game, team, number, name}`. */
export const typed = () => newcomer;

export function type(found) {
  newcomer = found;
}
