/** Who is still due plays, by the league's minimum: as sql/answers/exposure.sql has it. Pure. */

/** The plays due to each child of a team; it may go by how many of the team play today. */
export function required(head, side) {
  if (head.minimum) return head.minimum[side.team] ?? 0;
  const squad = side.children.filter((one) => one.may_play !== "none").length;
  const steps = [...(head.by_squad_size ?? [])].sort((a, b) => (a.up_to ?? Infinity) - (b.up_to ?? Infinity));
  return steps.find((step) => (step.up_to ?? Infinity) >= squad)?.minimum ?? 0;
}

/** How many plays a child is still due; `counts` are those of `half` that are told only later. */
export function dueOf(child, minimum, half, counts) {
  if (child.may_play === "none" || child.excused) return 0;
  const halves = child.may_play === "second_half" ? [2, 3] : [1, 2, 3];
  const played = halves.map((one) => (one === half ? counts[child.player] ?? 0 : child.plays[one]?.count ?? 0));
  return Math.max(0, minimum - played.reduce((sum, count) => sum + count, 0));
}

/** `[{official, counts, snaps}]` of a team's half: each counter's latest, who counted at all. Snaps are of both teams. */
export function counters(model, team, half) {
  const found = new Map();
  const of = (official) => {
    if (!found.has(official)) found.set(official, { official, counts: {}, snaps: null });
    return found.get(official);
  };
  for (const child of model.team(team).children) {
    for (const [official, entry] of child.plays[half]?.by ?? []) of(official).counts[child.player] = Number(entry.count);
  }
  const gone = new Set(model.entries.filter((one) => one.kind === "withdraw").map((one) => one.target));
  for (const entry of model.entries) {
    const stands = entry.kind === "snaps" && Number(entry.half) === half && !gone.has(entry.event) && !gone.has(entry.ref);
    if (stands && found.has(entry.by)) of(entry.by).snaps = Number(entry.count);
  }
  return [...found.values()];
}
