/** An entry in a few words, without a name: "weighed ok"; and what an act is about: "8:41 Newts 21: weighed". */

import { spoken, t } from "./words.js";

const WORDS = {
  weigh: ({ value }) => t("weighed {value}", { value: result(value) }),
  late_weigh: ({ value }) => t("weighed late {value}", { value: result(value) }),
  initial: ({ value, initials }) => t("book marked {value}, {initials}", { value: result(value), initials }),
  list: ({ reason }) => t("listed: {reason}", { reason: why(reason) }),
  strike_off: () => t("crossed off the list"),
  stripe: () => t("helmet striped"),
  close: () => t("weigh-in closed"),
  station: ({ reading, limit }) => t("scale checked: reads {reading} lb, set to {limit} lb", { reading, limit }),
  scale_out: () => t("scale out of use"),
  at_scale: () => t("at the scale"),
  half: ({ half }) => t("half {half} ended", { half }),
  plays: ({ half, count }) => t("plays in half {half}: {count}", { half, count }),
  snaps: ({ half, count }) => t("snaps in half {half}: {count}", { half, count }),
  excuse: () => t("excused from the minimum"),
  concern: ({ reason }) => t("concern noted: {reason}", { reason: why(reason) }),
  withdraw: () => t("taken back"),
  case_open: () => t("question written down"),
  game_change: () => t("kickoff moved"),
  game_off: () => t("game called off"),
};

function result(value) {
  return { ok: t("ok"), over: t("over"), no_scale: t("without a scale") }[value] ?? value;
}

function why(reason) {
  const known = {
    over: t("over"), absent: t("absent"), injured: t("injured"), equipment: t("gear"), other: t("other"),
    mouth_guard: t("mouth guard"), chin_strap: t("chin strap"), helmet: t("helmet"), cleats: t("cleats"),
    coach_near_scale: t("coach near the scale"), conduct: t("conduct"),
  };
  return known[reason] ?? reason;
}

export const said = (entry) => WORDS[entry.kind]?.(entry) ?? entry.kind;

/** What an act is about, and nothing of how a child weighed: tape alone would tell it. */
const ABOUT = {
  weigh: () => t("weighed"),
  late_weigh: () => t("weighed"),
  initial: () => t("afterwards"),
  stripe: () => t("afterwards"),
  list: () => t("the list"),
  strike_off: () => t("the list"),
  close: () => t("closed"),
  station: () => t("scale"),
  scale_out: () => t("scale"),
  at_scale: () => t("at the scale"),
  half: () => t("end of a half"),
  plays: () => t("plays"),
  snaps: () => t("plays"),
  concern: () => t("a concern"),
  case_open: () => t("a question"),
  withdraw: () => t("taken back"),
  game_change: () => t("kickoff"),
};

/** "8:41 Newts 21: weighed". `numberOf` finds a player's number, `teamOf` a team's name, `zone` is the league's. */
export function about(act, { numberOf, teamOf, zone }) {
  const entry = act.entries.find((one) => one.player || one.number) ?? act.entries[0];
  const time = new Date(entry.at).toLocaleTimeString(spoken(), { timeZone: zone, hour: "numeric", minute: "2-digit" });
  const who = entry.number ?? (entry.player && (numberOf(entry.team, entry.player) ?? entry.player));
  const told = act.entries.find((one) => one.kind !== "at_scale") ?? entry;
  const where = [time, entry.team && teamOf(entry.team), who].filter((part) => part !== undefined && part !== null && part !== "").join(" ");
  return { where, what: ABOUT[told.kind]?.() ?? "" };
}
