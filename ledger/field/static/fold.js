/**
 * What a game's statements add up to: pure, and the same as `sql/` (a test compares both).
 *
 * fold(entries, head) -> {children: Map "team/player" -> child, teams: Map team -> team, scale,
 * half_ended, counts(entry)}. Rulings are not folded: a child with one has `ruled`.
 */

const MISSED = ["absent", "equipment"];

export const keyOf = (team, player) => `${team}/${player}`;

export function fold(entries, head) {
  const standing = inOrder(entries.filter(stands(entries)));
  const half_ended = firstHalves(standing);
  const children = new Map();
  for (const side of head.teams) for (const one of side.players) children.set(keyOf(side.team, one.player), child(side.team, one, true));
  for (const entry of standing) {
    if (!entry.player || !head.teams.some((side) => side.team === entry.team)) continue;
    const key = keyOf(entry.team, entry.player);
    if (!children.has(key)) children.set(key, child(entry.team, entry, false));
    take(children.get(key), entry);
  }
  for (const one of children.values()) settle(one, head, half_ended);
  return {
    children,
    teams: new Map(head.teams.map((side) => [side.team, team(side.team, children, standing)])),
    scale: scale(standing, head),
    half_ended,
  };
}

/** A test of whether an entry counts: no withdrawal of it counts, as deep as people withdraw. */
function stands(entries) {
  const nameOf = (entry) => entry.event ?? entry.ref;
  const names = new Map(entries.filter((one) => one.ref && one.event).map((one) => [one.ref, one.event]));
  const against = new Map();
  for (const entry of entries) {
    if (entry.kind !== "withdraw") continue;
    const target = names.get(entry.target) ?? entry.target;
    against.set(target, [...(against.get(target) ?? []), entry]);
  }
  const counts = (entry) => !(against.get(nameOf(entry)) ?? []).some(counts);
  return (entry) => entry.kind !== "withdraw" && counts(entry);
}

/** By `at`; at one time in ledger order, and what only waits here comes last. */
function inOrder(entries) {
  const rank = new Map(entries.map((entry, at) => [entry, at]));
  return [...entries].sort((a, b) => compared(a.at, b.at) || ledgerOrder(a, b) || rank.get(a) - rank.get(b));
}

function ledgerOrder(a, b) {
  if (!a.event || !b.event) return Number(!a.event) - Number(!b.event);
  const [chainA, seqA] = placeOf(a);
  const [chainB, seqB] = placeOf(b);
  if (chainA === chainB) return seqA - seqB;
  return compared(a.recorded, b.recorded) || compared(chainA, chainB);
}

function placeOf({ event }) {
  const cut = event.lastIndexOf(":");
  return [event.slice(0, cut), Number(event.slice(cut + 1))];
}

const compared = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

function firstHalves(standing) {
  const found = {};
  for (const entry of standing) if (entry.kind === "half") found[entry.half] ??= entry;
  return found;
}

function child(team, { player, number, name, mark }, on_roster) {
  return {
    team, player, number: number ?? null, name: name ?? null, mark: mark ?? null, on_roster,
    weighs: [], lists: [], listed: new Set(), struck: [], stripes: [], initials: [], concerns: [], excused: null,
    plays: {}, counts: new Map(), presented: null, counting: null, ruled: false,
  };
}

const TAKE = {
  weigh: (one, entry) => one.weighs.push(entry),
  late_weigh: (one, entry) => one.weighs.push(entry),
  initial: (one, entry) => one.initials.push(entry),
  stripe: (one, entry) => one.stripes.push(entry),
  concern: (one, entry) => one.concerns.push(entry),
  excuse: (one, entry) => (one.excused = entry),
  ruling: (one) => (one.ruled = true),
  list: (one, entry) => one.lists.push({ entry, struck: null }),
  strike_off(one, entry) {
    const reasons = entry.reason ? [entry.reason] : MISSED;
    for (const line of one.lists) if (reasons.includes(line.entry.reason)) line.struck ??= entry;
    one.struck.push(entry);
  },
  plays(one, entry) {
    const half = (one.plays[entry.half] ??= { count: 0, latest: null, by: new Map() });
    if (!isLater(entry, half.by.get(entry.by))) return;
    half.by.set(entry.by, entry);
    if (isLater(entry, half.latest)) Object.assign(half, { latest: entry, count: Number(entry.count) });
  },
};

function take(one, entry) {
  one.number ??= entry.number ?? null;
  one.name ??= entry.name ?? null;
  TAKE[entry.kind]?.(one, entry);
}

/** Whether `entry` was entered later than `other`: the latest entered count stands. */
function isLater(entry, other) {
  if (!other) return true;
  const order = compared(entry.entered ?? entry.at, other.entered ?? other.at) || ledgerOrder(entry, other);
  return order >= 0;
}

const isScale = (entry) => entry.value !== "no_scale";

function settle(one, head, half_ended) {
  const scaled = one.weighs.filter(isScale);
  const tried = scaled.slice(0, head.attempts ?? 1);
  one.presented = one.weighs[0] ?? null;
  one.counting = tried.find((entry) => entry.value === "ok") ?? scaled[0] ?? one.presented;
  one.listed = new Set(one.lists.filter((line) => !line.struck).map((line) => line.entry.reason));
  one.striped = one.stripes.length > 0;
  one.declared = !one.presented && Boolean(head.declared_over_may_skip_scale) && one.listed.has("over");
  one.done = one.presented !== null;
  one.left = one.on_roster && !one.done && one.listed.size === 0;
  const after_half = Boolean(one.presented && half_ended[1] && half_ended[1].at < one.presented.at);
  one.may_play = mayPlay(one, head, after_half);
  one.may_carry = one.may_play === "none" ? "no" : mayCarry(one);
}

function mayPlay(one, head, after_half) {
  if (!one.presented) return one.declared ? "full" : "none";
  if (one.presented.kind === "weigh") return "full";
  if (after_half) return "none";
  return head.late_players === "whole_game" ? "full" : head.late_players;
}

function mayCarry({ presented, counting, mark }) {
  if (!presented) return "no";
  const value = isScale(counting) ? counting.value : mark?.value;
  return { ok: "yes", over: "no" }[value] ?? "undecided";
}

function team(name, children, standing) {
  const own = [...children.values()].filter((one) => one.team === name);
  const over = own.filter((one) => one.may_play !== "none" && one.may_carry === "no");
  const close = standing.find((entry) => entry.kind === "close" && entry.team === name);
  return {
    children: own,
    left: own.filter((one) => one.left),
    over_not_listed: over.filter((one) => !one.listed.has("over")),
    over_not_striped: over.filter((one) => !one.striped),
    undecided: own.filter((one) => one.may_play !== "none" && one.may_carry === "undecided"),
    closed_at: close?.at ?? null,
    at_scale: [...new Set(standing.filter((entry) => entry.kind === "at_scale" && entry.team === name).map((entry) => entry.by))],
    is_counted: own.some((one) => Object.keys(one.plays).length > 0),
  };
}

function scale(standing, head) {
  const stations = standing.filter((entry) => entry.kind === "station");
  const passing = stations.filter((entry) => Math.abs(entry.reading_clb - head.check_clb) <= head.tolerance_clb);
  const outs = standing.filter((entry) => entry.kind === "scale_out");
  const out = outs.at(-1) ?? null;
  const proved = passing.at(-1) ?? null;
  const isOut = Boolean(out) && !(proved && proved.at > out.at);
  return { first: passing[0] ?? null, station: stations.at(-1) ?? null, proved: isOut ? null : proved, out: isOut ? out : null };
}
