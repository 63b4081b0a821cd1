/** What to write on the paper list by hand, from what this device knows: numbers only. Pure. */

import { hour, pounds } from "../line/parts.js";
import { t, tn } from "../words.js";
import { numbers } from "./parts.js";

const REASONS = ["over", "absent", "injured", "equipment", "other"];

/** Lines of text. `waiting` is how many taps wait on this device. */
export function paperText(model, team, waiting, now) {
  const { head, fold } = model;
  const side = model.team(team);
  const { station, out } = fold.scale;
  const weighed = side.children.filter((one) => one.done);
  const titles = { over: t("Over"), absent: t("Absent"), injured: t("Injured"), equipment: t("Gear"), other: t("Other") };
  const listed = (reason) => side.children.filter((one) => one.listed.has(reason));
  const lines = [
    t("{team}, game {game}", { team: side.name, game: model.game }),
    station && t("Scale set to {limit} lb. Check weight read {reading} lb at {time}.", { limit: pounds(station.limit_clb), reading: pounds(station.reading_clb), time: hour(head, station.at) }),
    out && t("Scale out since {time}.", { time: hour(head, out.at) }),
    t("Weighed: {n} of {all}.", { n: weighed.filter((one) => one.on_roster).length, all: side.children.filter((one) => one.on_roster).length }),
    ...REASONS.filter((reason) => listed(reason).length).map((reason) => t("{reason}: {numbers}.", { reason: titles[reason], numbers: numbers(listed(reason)) })),
    side.children.every((one) => one.listed.size === 0) && t("Nobody is on the list."),
    side.left.length > 0 && t("Not weighed, not listed: {numbers}.", { numbers: numbers(side.left) }),
    side.closed_at ? t("Closed at {time}.", { time: hour(head, side.closed_at) }) : t("Not closed yet."),
    waiting > 0 && tn("{n} tap still waits on this phone.", "{n} taps still wait on this phone.", waiting),
    t("Copied at {time}.", { time: hour(head, now) }),
  ];
  return lines.filter(Boolean).join("\n");
}
