/**
 * Whether what a scene waits for holds, by what the open game and the screen say. Pure but for those
 * who stepped aside.
 *
 * `until` may have: screen, scale ("proved" or "out"), done, undone, scaled, aside (keys of children),
 * listed ([key, reason]), stated (a kind, since `since`), paper (a pen goes on), closed, signed ("you"
 * or "other"). All hold.
 */

import { signedBy } from "../after/open.js";
import * as table from "../line/table.js";

const ON_SCALE = ["ok", "over"];

export async function holds(until, { model, morning, screen, since }) {
  const child = (key) => model.child(morning.team, morning.players[key]);
  const isSigned = (side) => [morning.team, morning.own].every((team) => signedBy(model, team).has(side));
  const tests = {
    screen: (name) => screen === name,
    scale: (state) => Boolean(model.fold.scale[state]),
    done: (key) => Boolean(child(key)?.done),
    undone: (key) => !child(key)?.done,
    scaled: (key) => child(key).weighs.some((one) => ON_SCALE.includes(one.value)),
    listed: ([key, reason]) => child(key).listed.has(reason),
    aside: async (key) => (await table.steppedAside(morning.game, morning.team)).includes(morning.players[key]),
    paper: async () => Boolean(await table.paper(morning.game)),
    stated: (kind) => model.entries.some((one) => one.kind === kind && one.at >= since),
    closed: () => Boolean(model.team(morning.team).closed_at),
    signed: (who) => isSigned(who === "you" ? morning.own : morning.team),
  };
  for (const [key, value] of Object.entries(until)) if (!(await tests[key](value))) return false;
  return true;
}
