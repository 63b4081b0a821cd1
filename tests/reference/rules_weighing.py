"""Findings: the order of the weigh-in, and what became of each player. A rule a function."""

from __future__ import annotations

from datetime import timedelta

from tests.reference.eligibility import (
    STRUCK_WITHOUT_REASON,
    half_end,
    half_one_ended_before,
    listed,
    presentation,
    rules_one_to_three,
    scale_weighs,
    weigh_that_counts,
)
from tests.reference.scene import Findings, Row, Scene, each, row_of, span
from tests.reference.statements import Statement, first


def weighs_in_turn(scene: Scene, team: str) -> list[Statement]:
    """The team's weighs, "late weighs aside, and players aside who were listed absent or equipment,
    struck off or not, at or before that weigh of theirs".
    """

    def was_listed(weigh: Statement) -> bool:
        lists = scene.about(row_of(weigh), "list")
        return any(s.reason in STRUCK_WITHOUT_REASON and s.at <= weigh.at for s in lists)

    weighs = scene.season.for_team(scene.game, team, "weigh")
    return [weigh for weigh in weighs if not was_listed(weigh)]


def weighed_out_of_turn(scene: Scene) -> Findings:
    """Game: the team that weighs second has a weigh before the last weigh of the first team (late
    weighs aside, and players aside who were listed absent or equipment, struck off or not, at or
    before that weigh of theirs; never with "either").
    """
    first_to_weigh = scene.season.weigh_in["first_to_weigh"]
    if first_to_weigh == "either":
        return
    home, visitor = scene.game.teams
    goes_first = visitor if first_to_weigh == "visitors" else home
    of_first = weighs_in_turn(scene, goes_first)
    of_second = weighs_in_turn(scene, scene.game.opponent(goes_first))
    if any(weigh.at < last.at for weigh in of_second for last in of_first):
        yield scene.found()


def weighed_too_early(scene: Scene) -> Findings:
    """Game team: a weigh before kickoff minus opens_before_kickoff_min."""
    opens_before = timedelta(minutes=scene.season.weigh_in["opens_before_kickoff_min"])
    for team in scene.game.teams:
        weighs = scene.season.for_team(scene.game, team, "weigh")
        if any(span(weigh.at, scene.game.kickoff) > opens_before for weigh in weighs):
            yield scene.found(team)


def weighed_after_close(scene: Scene) -> Findings:
    """Game team player: a weigh (not late) after the team's close ("the first counts")."""
    for team, player in scene.rows:
        close = first(scene.season.for_team(scene.game, team, "close"))
        weighs = scene.about((team, player), "weigh")
        if close is not None and any(weigh.at > close.at for weigh in weighs):
            yield scene.found(team, player)


def late_after_half(scene: Scene) -> Findings:
    """Game team player: P is a late_weigh after half 1 ended."""
    for row in scene.rows:
        presented = presentation(scene.season, scene.game, *row)
        is_late = presented is not None and presented.kind == "late_weigh"
        if is_late and half_one_ended_before(scene.season, scene.game, presented) is not None:
            yield scene.found(*row)


def half_not_stated(scene: Scene) -> Findings:
    """Game: somebody was weighed late, and half 2 or plays of half 2 were stated, and half 1 was
    not.
    """
    half_two = half_end(scene.season, scene.game, 2) is not None
    plays_two = any(said.data["half"] == 2 for said in scene.said("plays"))
    half_one = half_end(scene.season, scene.game, 1) is not None
    if scene.said("late_weigh") and (half_two or plays_two) and not half_one:
        yield scene.found()


def weighed_too_often(scene: Scene) -> Findings:
    """Game team player: more than `attempts` scale weighs."""
    for row in scene.rows:
        attempts = scene.season.weigh_in["attempts"]
        if len(scale_weighs(scene.season, scene.game, *row)) > attempts:
            yield scene.found(*row)


def not_on_roster(scene: Scene) -> Findings:
    """Game team player: weighed, listed or with a plays line, and not on that team's roster at
    kickoff.
    """
    for row in scene.rows:
        if scene.about(row, "weigh", "late_weigh", "list", "plays") and not scene.is_on_roster(row):
            yield scene.found(*row)


def number_twice(scene: Scene) -> Findings:
    """Game team player: on that team's roster at kickoff, with a number that another player there
    has too (no number is not twice).
    """
    for team in scene.game.teams:
        roster = scene.season.roster_at_kickoff(scene.game, team)
        for player, number in roster.items():
            others = [given for other, given in roster.items() if other != player]
            if number is not None and number in others:
                yield scene.found(team, player)


def on_two_rosters(scene: Scene) -> Findings:
    """Game team player: on that team's roster at kickoff, and on another team's too."""
    season = scene.season
    for team in scene.game.teams:
        others = [
            season.roster_at_kickoff(scene.game, t) for t in season.division_of_team if t != team
        ]
        for player in season.roster_at_kickoff(scene.game, team):
            if any(player in other for other in others):
                yield scene.found(team, player)


def unaccounted(scene: Scene) -> Findings:
    """Game team player: on the roster at kickoff, somebody of the team was weighed, and this player
    was neither weighed nor has a listing that stands.
    """
    for row in scene.rows:
        was_weighed = bool(scene.about(row, "weigh", "late_weigh"))
        is_accounted = was_weighed or bool(listed(scene.season, scene.game, *row))
        if scene.is_on_roster(row) and scene.weighed(row[0]) and not is_accounted:
            yield scene.found(*row)


def is_noncarrier(scene: Scene, row: Row) -> bool:
    """ "Rules 1 to 3 give may_play other than none and may_carry no." """
    may_play, may_carry, _ = rules_one_to_three(scene.season, scene.game, *row)
    return may_play != "none" and may_carry == "no"


def stands(scene: Scene, row: Row, *reasons: str) -> bool:
    return any(reason in reasons for reason in listed(scene.season, scene.game, *row))


def weighed_ok(scene: Scene, row: Row) -> bool:
    """ "W is ok." """
    counts = weigh_that_counts(scene.season, scene.game, *row)
    return counts is not None and counts.value == "ok"


def noncarrier_not_listed(scene: Scene) -> Findings:
    """Game team player: rules 1 to 3 give may_play other than none and may_carry no, and no list
    over stands.
    """
    for row in scene.rows:
        if is_noncarrier(scene, row) and not stands(scene, row, "over"):
            yield scene.found(*row)


def noncarrier_not_striped(scene: Scene) -> Findings:
    """Game team player: the same, and there is no stripe."""
    for row in scene.rows:
        if is_noncarrier(scene, row) and not scene.about(row, "stripe"):
            yield scene.found(*row)


def carrier_striped(scene: Scene) -> Findings:
    """Game team player: W is ok, and there is a stripe (it would take the ball from a child who may
    carry it).
    """
    for row in scene.rows:
        if weighed_ok(scene, row) and scene.about(row, "stripe"):
            yield scene.found(*row)


def listed_over_weighed_ok(scene: Scene) -> Findings:
    """Game team player: a list over stands, and W is ok."""
    for row in scene.rows:
        if weighed_ok(scene, row) and stands(scene, row, "over"):
            yield scene.found(*row)


def not_struck_off(scene: Scene) -> Findings:
    """Game team player: P exists, and a list absent or equipment stands."""
    for row in scene.rows:
        presented = presentation(scene.season, scene.game, *row)
        if presented is not None and stands(scene, row, "absent", "equipment"):
            yield scene.found(*row)


def injured_but_weighed(scene: Scene) -> Findings:
    """Game team player: P exists, and a list injured stands."""
    for row in scene.rows:
        presented = presentation(scene.season, scene.game, *row)
        if presented is not None and stands(scene, row, "injured"):
            yield scene.found(*row)


def strike_off_without_weigh(scene: Scene) -> Findings:
    """Game team player (each): a strike_off of a player not weighed at or before it."""
    for strike in scene.said("strike_off"):
        row = row_of(strike)
        if not any(weigh.at <= strike.at for weigh in scene.about(row, "weigh", "late_weigh")):
            yield each(scene.found(*row), strike)


RULES = (
    weighed_out_of_turn,
    weighed_too_early,
    weighed_after_close,
    late_after_half,
    half_not_stated,
    weighed_too_often,
    not_on_roster,
    number_twice,
    on_two_rosters,
    unaccounted,
    noncarrier_not_listed,
    noncarrier_not_striped,
    carrier_striped,
    listed_over_weighed_ok,
    not_struck_off,
    injured_but_weighed,
    strike_off_without_weigh,
)
