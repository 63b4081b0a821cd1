"""Findings: the scale and the people at it. A rule a function, named after the rule."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from tests.reference.eligibility import SCALE_VALUES
from tests.reference.scene import Findings, Scene, each, row_of
from tests.reference.statements import Statement, by_at, moment

ALSO_OF_THE_BOARD = ("board_member", "association_president", "division_president")


def tolerance_clb(check_weight_clb: int, scale_division_clb: int) -> int:
    """ "n = check_weight_lb / d: up to 500: 1 d; over 500 up to 2,000: 2 d; over 2,000 up to 4,000:
    3 d; above: 5 d."
    """
    n = Decimal(check_weight_clb) / Decimal(scale_division_clb)
    for up_to, divisions in ((500, 1), (2000, 2), (4000, 3)):
        if n <= up_to:
            return divisions * scale_division_clb
    return 5 * scale_division_clb


def passes(scene: Scene, station: Statement) -> bool:
    """ "A station whose absolute difference of reading and check_weight_lb is over the tolerance
    ... does not pass."
    """
    check_clb = scene.season.weigh_in["check_weight_clb"]
    tolerance = tolerance_clb(check_clb, scene.season.weigh_in["scale_division_clb"])
    return bool(abs(station.data["reading_clb"] - check_clb) <= tolerance)


def passing_stations(scene: Scene) -> list[Statement]:
    return [station for station in scene.said("station") if passes(scene, station)]


def scale_weighs_of_game(scene: Scene) -> list[Statement]:
    return [said for said in scene.weighed() if said.value in SCALE_VALUES]


def scale_not_proved(scene: Scene) -> Findings:
    """Game: a scale weigh has neither a passing station nor a scale_out at or before it."""
    either = passing_stations(scene) + scene.said("scale_out")
    for weigh in scale_weighs_of_game(scene):
        if not any(said.at <= weigh.at for said in either):
            yield scene.found()
            return


def scale_used_after_out(scene: Scene) -> Findings:
    """Game team player: the latest scale_out at or before a scale weigh has no passing station
    after it and at or before the weigh.
    """
    for row in scene.rows:
        for weigh in scene.about(row, "weigh", "late_weigh"):
            outs = [said for said in scene.said("scale_out") if said.at <= weigh.at]
            if weigh.value not in SCALE_VALUES or not outs:
                continue
            latest_out = max(outs, key=by_at)
            if not any(latest_out.at < s.at <= weigh.at for s in passing_stations(scene)):
                yield scene.found(*row)
                break


def scale_out_missing(scene: Scene) -> Findings:
    """Game: a weigh or late_weigh of value no_scale has no scale_out at or before it."""
    for weigh in scene.weighed():
        if weigh.value == "no_scale" and not any(
            out.at <= weigh.at for out in scene.said("scale_out")
        ):
            yield scene.found()
            return


def check_weight_off(scene: Scene) -> Findings:
    """Game (each): a station whose absolute difference of reading and check_weight_lb is over the
    tolerance: it does not pass.
    """
    for station in scene.said("station"):
        if not passes(scene, station):
            yield each(scene.found(), station)


def limit_wrong(scene: Scene) -> Findings:
    """Game (each): a station whose limit differs from the division's carrier limit plus the
    allowance in force.
    """
    for station in scene.said("station"):
        if station.data["limit_clb"] != scene.season.carrier_limit_clb(scene.game):
            yield each(scene.found(), station)


def limit_moved(scene: Scene) -> Findings:
    """Game: stations of one game have different limits."""
    if len({station.data["limit_clb"] for station in scene.said("station")}) > 1:
        yield scene.found()


def who_weighed(scene: Scene) -> set[str]:
    """ "Someone who weighed, initialed or stood at the scale in the game." """
    return {said.by for said in scene.said("weigh", "late_weigh", "initial", "at_scale")}


def weighmaster_not_trained(scene: Scene) -> Findings:
    """Game official: training_valid_days is not 0, someone weighed, initialed or stood at the scale
    in the game, and no `trained` about them by somebody else has its `at` at or before the kickoff
    and at most that many days of 24 hours before it.
    """
    days = scene.season.weigh_in["training_valid_days"]
    if days == 0:
        return
    kickoff = moment(scene.game.kickoff)
    for official in who_weighed(scene):
        trained = [
            moment(said.at)
            for said in scene.season.of_kind("trained")
            if said.value == official and said.by != official
        ]
        if not any(timedelta(0) <= kickoff - at <= timedelta(days=days) for at in trained):
            yield scene.found() | {"official": official}


def weighmaster_is_coach(scene: Scene) -> Findings:
    """Game official: someone who weighed, initialed or stood at the scale in the game coaches
    either of its teams.
    """
    for official in who_weighed(scene):
        if scene.season.coaches_either(official, scene.game):
            yield scene.found() | {"official": official}


def too_many_at_scale(scene: Scene) -> Findings:
    """Game team: more than max_weighmasters_per_team own weighmasters stood at the scale for a
    team (board members and presidents who coach neither team of the game do not count).
    """
    season = scene.season

    def does_not_count(official: str) -> bool:
        is_of_the_board = season.roles.holds(official, ALSO_OF_THE_BOARD, scene.game.id)
        return is_of_the_board and not season.coaches_either(official, scene.game)

    for team in scene.game.teams:
        stood = {
            said.by
            for said in season.for_team(scene.game, team, "at_scale")
            if scene.is_own_weighmaster(said.by, team) and not does_not_count(said.by)
        }
        if len(stood) > season.weigh_in["max_weighmasters_per_team"]:
            yield scene.found(team)


def no_weighmaster(scene: Scene) -> Findings:
    """Game team: somebody was weighed in the game, for either team, and no own weighmaster of this
    team stood at the scale for it.
    """
    for team in scene.game.teams:
        stood = scene.season.for_team(scene.game, team, "at_scale")
        if scene.weighed() and not any(scene.is_own_weighmaster(said.by, team) for said in stood):
            yield scene.found(team)


def is_of_own_side_only(scene: Scene, said: Statement) -> bool:
    """By "an own weighmaster of the player's team who is none of the opponents'"."""
    if said.team is None:
        return False
    opponent = scene.game.opponent(said.team)
    is_own = scene.is_own_weighmaster(said.by, said.team)
    return is_own and not scene.is_own_weighmaster(said.by, opponent)


def weighed_by_own_side(scene: Scene) -> Findings:
    """Game team player (each): weighed by an own weighmaster of the player's team who is none of
    the opponents'.
    """
    for row in scene.rows:
        for weigh in scene.about(row, "weigh", "late_weigh"):
            if is_of_own_side_only(scene, weigh):
                yield each(scene.found(*row), weigh)


def initialed_by_own_side(scene: Scene) -> Findings:
    """Game team player (each): an initial by such an official."""
    for initial in scene.said("initial"):
        if is_of_own_side_only(scene, initial):
            yield each(scene.found(*row_of(initial)), initial)


def coach_near_scale(scene: Scene) -> Findings:
    """Game (each): a concern coach_near_scale."""
    for concern in scene.said("concern"):
        if concern.reason == "coach_near_scale":
            yield each(scene.found(), concern)


RULES = (
    scale_not_proved,
    scale_used_after_out,
    scale_out_missing,
    check_weight_off,
    limit_wrong,
    limit_moved,
    weighmaster_not_trained,
    weighmaster_is_coach,
    too_many_at_scale,
    no_weighmaster,
    weighed_by_own_side,
    initialed_by_own_side,
    coach_near_scale,
)
