/** What holds now for a team's weigh-in: `{team, late, plays, out, initials, attempts}`. */

export function momentOf(app, team) {
  const { model } = app;
  const late = Boolean(model.team(team).closed_at);
  const isAfterHalf = Boolean(model.fold.half_ended[1]);
  return {
    team,
    late,
    plays: !late || (model.head.late_players !== "none" && !isAfterHalf),
    out: Boolean(model.fold.scale.out),
    initials: model.head.people.find((one) => one.official === app.active())?.initials ?? app.person()?.initials ?? "",
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
