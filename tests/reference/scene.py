"""What findings look at: one game with its eligibility and exposure, and a finding's form.

A finding here is a dict with rule, game, team, player, official, side, case and at. Rules with one
finding for each statement also give `events`, that statement alone. Others leave `events` out: the
text does not fix which statements show them.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from tests.reference.eligibility import eligibility_of_game
from tests.reference.exposure import exposure_of_game
from tests.reference.state import Game, Season
from tests.reference.statements import WEIGHED, Statement, moment

Finding = dict[str, Any]
Findings = Iterator[Finding]
Row = tuple[str, str]  # team, player


class Scene:
    """A game that is not off, and what was derived for it."""

    def __init__(self, season: Season, game: Game) -> None:
        self.season = season
        self.game = game
        self.eligible = {
            (row["team"], row["player"]): row for row in eligibility_of_game(season, game)
        }
        self.exposed = {(row["team"], row["player"]): row for row in exposure_of_game(season, game)}
        self.rows = list(self.eligible)

    def said(self, *kinds: str) -> list[Statement]:
        return self.season.in_game(self.game, *kinds)

    def about(self, row: Row, *kinds: str) -> list[Statement]:
        return self.season.about(self.game, *row, *kinds)

    def weighed(self, team: str | None = None) -> list[Statement]:
        """ "Weighed": weigh or late_weigh with any value; for either team, or for one."""
        return [said for said in self.said(*WEIGHED) if team is None or said.team == team]

    def is_own_weighmaster(self, official: str, team: str) -> bool:
        return self.season.is_own_weighmaster(official, team, self.game)

    def is_on_roster(self, row: Row) -> bool:
        return row[1] in self.season.roster_at_kickoff(self.game, row[0])

    def found(self, *row: str) -> Finding:
        """A finding of grain game, game team or game team player."""
        return found(self.game.id, *row)


def found(
    game: str | None,
    team: str | None = None,
    player: str | None = None,
    *,
    official: str | None = None,
    side: str | None = None,
    case: str | None = None,
) -> Finding:
    return {
        "game": game,
        "team": team,
        "player": player,
        "official": official,
        "side": side,
        "case": case,
        "at": None,
    }


def each(finding: Finding, said: Statement) -> Finding:
    """ "(each): one finding a statement, `at` is that statement's; events: that alone." """
    return finding | {"at": said.at, "events": [said.id]}


def row_of(said: Statement) -> Row:
    """The (team, player) of a statement about a player in a game."""
    assert said.team is not None
    assert said.player is not None
    return said.team, said.player


def span(earlier: str, later: str) -> timedelta:
    return moment(later) - moment(earlier)
