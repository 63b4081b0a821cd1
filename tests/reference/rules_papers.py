"""Findings: the book, the signed lists, and the plays. A rule a function."""

from __future__ import annotations

from tests.reference.eligibility import SCALE_VALUES, initials_in_division, weigh_that_counts
from tests.reference.exposure import standing_count
from tests.reference.scene import Findings, Row, Scene, each, row_of
from tests.reference.state import Game
from tests.reference.statements import WEIGHED, Statement, first, latest_entered

HALVES = (1, 2, 3)


def first_game_with_a_scale_weigh(scene: Scene, player: str) -> Game | None:
    """ "The player's first game of its division (by kickoff, game id) with a scale weigh"; of a
    game that is off the "weighs count for nothing".
    """
    for game in scene.season.games_in_order():
        if game.division == scene.game.division and not game.is_off:
            weighs = scene.season.in_game(game, *WEIGHED)
            if any(s.player == player and s.value in SCALE_VALUES for s in weighs):
                return game
    return None


def book_not_initialed(scene: Scene) -> Findings:
    """Game team player: on the roster at kickoff, and this is the player's first game of its
    division (by kickoff, game id) with a scale weigh, and no initial in it for whichever team.
    """
    for team, player in scene.rows:
        if scene.is_on_roster((team, player)):
            is_first = first_game_with_a_scale_weigh(scene, player) == scene.game
            is_initialed = any(said.player == player for said in scene.said("initial"))
            if is_first and not is_initialed:
                yield scene.found(team, player)


def book_initialed_again(scene: Scene) -> Findings:
    """Game team player (each): an initial in a game whose kickoff is later than that of the game of
    the player's first initial in the division.
    """
    for initial in scene.said("initial"):
        team, player = row_of(initial)
        mark = first(initials_in_division(scene.season, scene.game.division, player))
        assert mark is not None  # this initial is one
        assert mark.game is not None
        if scene.game.kickoff > scene.season.games[mark.game].kickoff:
            yield each(scene.found(team, player), initial)


def book_mark_differs(scene: Scene) -> Findings:
    """Game team player (each): an initial's value differs from W's in that game (W a scale
    weigh).
    """
    for initial in scene.said("initial"):
        team, player = row_of(initial)
        counts = weigh_that_counts(scene.season, scene.game, team, player)
        if counts is not None and counts.value in SCALE_VALUES and counts.value != initial.value:
            yield each(scene.found(team, player), initial)


def countersigns_by(scene: Scene, team: str, side: str) -> list[Statement]:
    """Countersigns of the team's list by an own weighmaster of the side."""
    signed = scene.season.for_team(scene.game, team, "countersign")
    return [said for said in signed if scene.is_own_weighmaster(said.by, side)]


def list_not_countersigned(scene: Scene) -> Findings:
    """Game team side: somebody was weighed in the game, for either team: for each team's list
    (empty ones too) and each side (a team id), no countersign by an own weighmaster of that side.
    """
    for team in scene.game.teams:
        for side in scene.game.teams:
            if scene.weighed() and not countersigns_by(scene, team, side):
                yield scene.found(team) | {"side": side}


def list_changed_after_sign(scene: Scene) -> Findings:
    """Game team player (each): a list entered after the first entered countersign of that team's
    list by an own weighmaster of either side, unless its reason is over and W is a late_weigh of
    value over.
    """
    for listing in scene.said("list"):
        team, player = row_of(listing)
        signs = [s for side in scene.game.teams for s in countersigns_by(scene, team, side)]
        counts = weigh_that_counts(scene.season, scene.game, team, player)
        was_late_over = (
            counts is not None and counts.kind == "late_weigh" and counts.value == "over"
        )
        is_excepted = listing.reason == "over" and was_late_over
        if signs and listing.entered > min(sign.entered for sign in signs) and not is_excepted:
            yield each(scene.found(team, player), listing)


def carrier_undecided(scene: Scene) -> Findings:
    """Game team player: may_play is not none and may_carry is undecided."""
    for row, answer in scene.eligible.items():
        if answer["may_play"] != "none" and answer["may_carry"] == "undecided":
            yield scene.found(*row)


def plays_short(scene: Scene) -> Findings:
    """Game team player: exposure status short."""
    for row, answer in scene.exposed.items():
        if answer["status"] == "short":
            yield scene.found(*row)


def plays_not_counted(scene: Scene) -> Findings:
    """Game team: somebody of the team was weighed, and the team has no plays line."""
    for team in scene.game.teams:
        if scene.weighed(team) and not scene.season.for_team(scene.game, team, "plays"):
            yield scene.found(team)


def counts_differ(scene: Scene) -> Findings:
    """Game team player: for some half the latest entered counts of two officials differ."""
    for row in scene.rows:
        lines = scene.about(row, "plays")
        for half in HALVES:
            of_half = [said for said in lines if said.data["half"] == half]
            counts = set()
            for official in {said.by for said in of_half}:
                stands = latest_entered(said for said in of_half if said.by == official)
                counts.add(None if stands is None else stands.data["count"])
            if len(counts) > 1:
                yield scene.found(*row)
                break


def counted_in(scene: Scene, row: Row, half: int) -> bool:
    """ "A standing (latest entered) plays count over 0" in this half."""
    return (standing_count(scene.season, scene.game, *row, half) or 0) > 0


def played_not_eligible(scene: Scene) -> Findings:
    """Game team player: a standing (latest entered) plays count over 0 in any half, and may_play
    none. (May_play as in 3.3.)
    """
    for row, answer in scene.exposed.items():
        if answer["may_play"] == "none" and any(counted_in(scene, row, half) for half in HALVES):
            yield scene.found(*row)


def played_first_half(scene: Scene) -> Findings:
    """Game team player: a standing plays count over 0 in half 1, and may_play second_half.
    (May_play as in 3.3.)
    """
    for row, answer in scene.exposed.items():
        if answer["may_play"] == "second_half" and counted_in(scene, row, 1):
            yield scene.found(*row)


RULES = (
    book_not_initialed,
    book_initialed_again,
    book_mark_differs,
    list_not_countersigned,
    list_changed_after_sign,
    carrier_undecided,
    plays_short,
    plays_not_counted,
    counts_differ,
    played_not_eligible,
    played_first_half,
)
