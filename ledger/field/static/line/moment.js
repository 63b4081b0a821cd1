/** What holds now at the scale, and what the active official does there. */

import { newcomer } from "./answers.js";
import { initials } from "./parts.js";
import * as table from "./table.js";

const WEIGHS = ["board_member", "association_president", "division_president"];

/** `{team, late, plays, out, initials, attempts}` of a team's weigh-in, now or at the time on a sheet. */
export function momentOf(app, team, at = null) {
  const { model } = app;
  const isOver = (when) => Boolean(when) && (at === null || when < at);
  const late = isOver(model.team(team).closed_at);
  const isAfterHalf = isOver(model.fold.half_ended[1]?.at);
  return {
    team,
    late,
    plays: !late || (model.head.late_players !== "none" && !isAfterHalf),
    out: Boolean(model.fold.scale.out),
    initials: initials(app),
    attempts: model.head.attempts,
  };
}

/** The team for which this official stands at the scale, when `team` is weighed. */
export function sideOf(app, team) {
  const mine = app.model.head.people.find((one) => one.official === app.active() && one.team);
  return mine?.team ?? app.model.head.teams.find((one) => one.team !== team).team;
}

/** The entry that says that the official stands at the scale, once a game; else none. */
export function atScale(app, team) {
  const side = sideOf(app, team);
  const isStated = app.model.team(side).at_scale.includes(app.active());
  return isStated ? [] : [{ kind: "at_scale", team: side }];
}

/** The child as stated, or as typed at the table just now; null where nobody is known. */
export function childOf(app, team, player) {
  const typed = table.typed();
  return app.model.child(team, player) ?? (typed?.player === player ? newcomer(team, typed) : null);
}

/** The roles of the active official in this game. */
export function rolesOf(app) {
  return app.model.head.people.filter((one) => one.official === app.active()).map((one) => one.role);
}

/** The team that the active official weighs: the other side's; without a side, who goes first. No coach weighs. */
export function weighedBy(app) {
  const { head } = app.model;
  if (rolesOf(app).includes("coach")) return null;
  const own = head.people.find((one) => one.official === app.active() && one.role === "weighmaster" && one.team);
  if (own) return head.teams.find((one) => one.team !== own.team).team;
  return rolesOf(app).some((role) => WEIGHS.includes(role)) ? firstTeam(head) : null;
}

export function firstTeam(head) {
  const side = head.first_to_weigh === "home" ? "home" : "visitor";
  return head.teams.find((one) => one.side === side).team;
}
