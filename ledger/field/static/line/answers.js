/**
 * What one tap at the scale states: the entries of an act, from what is known of a child. Pure.
 *
 * `child` is a child of the fold. `moment` is `{team, late, plays, initials, attempts}`: whether the
 * weigh-in is closed, whether a child who is weighed now plays today, who marks the book, and how
 * often a child may be weighed.
 */

const ON_SCALE = ["ok", "over"];
const HELD_FOR_LATER = ["absent", "equipment"];

/** How an entry names a child: by id, or by number and name where nothing is stated of them yet. */
export function whom(child) {
  return child.is_new ? { number: String(child.number), name: child.name } : { player: child.player };
}

/** A child who was typed at the table and of whom nothing is stated yet. */
export const newcomer = (team, { player, number, name }) => ({
  team, player, number, name, mark: null, on_roster: false, is_new: true, weighs: [], lists: [], listed: new Set(), stripes: [],
  initials: [], presented: null, counting: null, done: false, declared: false, striped: false, may_play: "none", may_carry: "no",
});

/** Whether a child must still come to the scale: a listing as over, made in advance, weighs nobody. */
export function isToCome(child) {
  if (!child.on_roster || child.done || child.declared) return false;
  return [...child.listed].every((reason) => reason === "over");
}

/** Whether a child who is listed may come all the same: the gear is found, or who was absent is only late. */
export const mayStillCome = (child) => child.on_roster && !child.done && !child.declared && HELD_FOR_LATER.some((reason) => child.listed.has(reason));

/** Whether the book has no mark of this child yet. */
export const markIsDue = (child) => !child.mark && child.initials.length === 0;

const scaleWeighs = (child) => child.weighs.filter((one) => ON_SCALE.includes(one.value));

/** Whether the child was on the scale more often than the league has it; to be there while it is out is no weigh. */
export const isTooOften = (child, { attempts }) => scaleWeighs(child).length > attempts;

/**
 * "answer", "second" (one more try is allowed) or "done". Who came while the scale was out may step
 * on it when it is back.
 */
export function stage(child, { attempts, out }) {
  const tries = scaleWeighs(child);
  if (!child.done || (!out && tries.length === 0)) return "answer";
  const mayTry = tries.length > 0 && tries.length < attempts && tries.every((one) => one.value === "over");
  return mayTry && !isSettled(child) ? "second" : "done";
}

// "No second try" marks, lists or tapes; a listing made in advance says nothing of it.
function isSettled(child) {
  const since = child.weighs[0].at;
  const isListed = child.lists.some((one) => !one.struck && one.entry.reason === "over" && one.entry.at >= since);
  return child.striped || child.initials.length > 0 || isListed;
}

/** true, false, or null where nobody can tell: the scale is out and the book has no mark. */
export function carries(child, value) {
  if (value === "no_scale") return child.mark ? child.mark.value === "ok" : null;
  return value === "ok";
}

/** Whether tape is due: the child plays, may not carry, and no stripe is written down. */
export const tapeIsDue = (child) => child.done && child.may_play !== "none" && child.may_carry === "no" && !child.striped;

/**
 * The entries of an answer: weigh, the book's mark where due, what is crossed off (`crossed`: reasons
 * of listings), the listing for over. A first "over" of two tries states the weigh alone.
 */
export function answer(child, value, moment, crossed = []) {
  const who = { team: moment.team, ...whom(child) };
  const entries = [{ kind: moment.late ? "late_weigh" : "weigh", ...who, value }];
  entries.push(...crossings(who, crossed));
  if (value === "over" && scaleWeighs(child).length + 1 < moment.attempts) return entries;
  return [...entries, ...settled(child, value, moment)];
}

/** What follows from the last try: the mark and the listing. */
export function settled(child, value, moment) {
  const who = { team: moment.team, ...whom(child) };
  const entries = [];
  if (ON_SCALE.includes(value) && markIsDue(child)) {
    entries.push({ kind: "initial", ...who, value, initials: moment.initials });
  }
  const carry = carries(child, value);
  if (carry === false && moment.plays && !child.listed.has("over")) {
    entries.push({ kind: "list", ...who, reason: "over" });
  }
  if (value === "ok" && child.listed.has("over")) entries.push({ kind: "strike_off", ...who, reason: "over" });
  return entries;
}

function crossings(who, reasons) {
  const entries = [];
  if (reasons.some((one) => HELD_FOR_LATER.includes(one))) entries.push({ kind: "strike_off", ...who });
  for (const reason of reasons) {
    if (!HELD_FOR_LATER.includes(reason)) entries.push({ kind: "strike_off", ...who, reason });
  }
  return entries;
}

export const stripe = (child, moment) => [{ kind: "stripe", team: moment.team, ...whom(child) }];

export const listing = (child, team, reason) => [{ kind: "list", team, ...whom(child), reason }];

/** Which of a child's listings a weigh crosses off unless the official says no. */
export const crossedAtOnce = (reason) => HELD_FOR_LATER.includes(reason);
