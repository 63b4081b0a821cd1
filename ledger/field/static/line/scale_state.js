/** Whether the scale may be used for a game, and what was said of it. */

import * as table from "./table.js";

/** Whether a station's reading is within the tolerance of the check weight. */
export const passes = (head, reading_clb) => Math.abs(reading_clb - head.check_clb) <= head.tolerance_clb;

/**
 * Whether check and limit have yet to be stated for this game: never stated, or the beam was set for
 * another game on this device since, at another limit. A scale that is out needs neither.
 */
export async function needsSetting(model) {
  const { out, station } = model.fold.scale;
  if (out) return false;
  return !station || Boolean(await movedTo(model));
}

/** The other game that the beam stands for now, or null. */
export async function movedTo(model) {
  const beam = await table.beam();
  const isOther = beam && beam.game !== model.game && beam.limit_clb !== model.head.limit_clb;
  const since = model.fold.scale.station?.at ?? "";
  return isOther && beam.at > since ? beam : null;
}
