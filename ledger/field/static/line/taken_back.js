/**
 * What "take back" takes: all of the last child's answer (weigh, mark, listing, crossing off, stripe),
 * and what "bring back" brings. Pure: `acts` are the model's, oldest first, with their entries.
 */

const ABOUT_A_CHILD = ["weigh", "late_weigh", "initial", "list", "strike_off", "stripe"];
const MOST_ENTRIES = 6;

const isAbout = (entry) => ABOUT_A_CHILD.includes(entry.kind);
const isTape = (act) => act.entries.every((entry) => entry.kind === "stripe");
const isTakeBack = (act) => act.entries.every((entry) => entry.kind === "withdraw");
const names = (entry) => [entry.event, entry.ref].filter(Boolean);

/** A test of whether an entry counts: no withdrawal of it counts. */
function counted(acts) {
  const against = new Map();
  for (const entry of acts.flatMap((act) => act.entries)) {
    if (entry.kind === "withdraw") against.set(entry.target, [...(against.get(entry.target) ?? []), entry]);
  }
  const counts = (entry) => !names(entry).flatMap((name) => against.get(name) ?? []).some(counts);
  return counts;
}

/**
 * What `by` last stated about a child of `team` (about `player`, where given) and still counts:
 * `{player, entries}`, or null. Tape goes with the answer before it.
 */
export function lastTap(acts, by, team, player = null) {
  const counts = counted(acts);
  const own = acts
    .filter((act) => act.by === by && !isTakeBack(act))
    .map((act) => ({ ...act, entries: act.entries.filter((one) => one.team === team && isAbout(one) && counts(one)) }))
    .filter((act) => act.entries.length > 0 && (player === null || act.entries[0].player === player));
  const last = own.at(-1);
  if (!last) return null;
  const whose = last.entries[0].player;
  const theirs = own.filter((act) => act.entries[0].player === whose);
  let from = theirs.length - 1;
  while (from > 0 && isTape(theirs[from])) from -= 1;
  return { player: whose, entries: theirs.slice(from).flatMap((act) => act.entries).slice(0, MOST_ENTRIES) };
}

/** The take back that `by` made last, where nothing of theirs came after: `{player, entries}`, or null. */
export function lastTakenBack(acts, by, team) {
  const last = acts.filter((act) => act.by === by).at(-1);
  if (!last || !isTakeBack(last) || !last.entries.every(counted(acts))) return null;
  const targets = last.entries.map((one) => one.target);
  const target = acts.flatMap((act) => act.entries).find((one) => names(one).some((name) => targets.includes(name)));
  if (!target || target.team !== team || !isAbout(target)) return null;
  return { player: target.player, entries: last.entries };
}
