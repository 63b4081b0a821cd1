"""Which findings a question is about: its case, its players, its games, the scale, its lists."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.queries import queries
from ledger.derive.rule_header import rule_header
from ledger.derive.statements import Statement, base_of

_OF_LIST = frozenset({"signature", "signature_due", "behind_signature"})
"""A rule that reads one of these tables is about a signed list, so about everyone who signed it."""
_OF_ANY_STATEMENT = ("season", "case")
"""What rules are about that look at one statement, whatever it says."""


@dataclass(frozen=True)
class Touched:
    """What a question is about.

    `own` are the events of its case. `sides` are the named teams by game; a game may have none,
    then both count. `players` are those asked about. `is_for_all` is true if the case names no
    player: then findings about any child of these teams count. `others` are more games that were
    read whole: their findings about these players count. `scales` are those of them whose scale
    decided something about these players.
    """

    case_id: str
    own: frozenset[str]
    games: frozenset[str]
    sides: frozenset[tuple[str, str]]
    players: frozenset[str]
    is_for_all: bool
    others: frozenset[str] = frozenset()
    scales: frozenset[str] = frozenset()

    def is_about_team(self, game: str | None, team: str | None) -> bool:
        named = {one for where, one in self.sides if where == game}
        return game in self.games and (team is None or not named or team in named)


def touching(
    findings: Iterable[Mapping[str, Any]], touched: Touched, statements: Mapping[str, Statement]
) -> tuple[Mapping[str, Any], ...]:
    """The findings about this question; `statements` are by event id."""
    return tuple(row for row in findings if _touches(row, touched, statements))


def _touches(row: Mapping[str, Any], touched: Touched, statements: Mapping[str, Statement]) -> bool:
    if row["case"] == touched.case_id or touched.own & set(row["events"]):
        return True
    if row["case"] is not None:
        return False
    if row["player"] in touched.players:
        # A game that was read only in part would show findings that are none.
        return row["game"] in touched.games | touched.others
    about = rule_header(row["rule"]).about
    if row["game"] not in touched.games:
        return about == "scale" and row["game"] in touched.scales
    if not touched.is_about_team(row["game"], row["team"]):
        return False
    if row["player"] is not None:
        return touched.is_for_all or bool(_OF_LIST & {*queries()[row["rule"]].inputs})
    if about in _OF_ANY_STATEMENT:
        return any(_is_ours(statements[one], touched, statements) for one in row["events"])
    return True


def _is_ours(one: Statement, touched: Touched, statements: Mapping[str, Statement]) -> bool:
    """Whether a statement is about these players or teams, and no other child or case."""
    base = base_of(one, statements)
    if base.player in touched.players:
        return True
    if "case_id" in base.says or not touched.is_about_team(base.game, base.team):
        return False
    return base.player is None or touched.is_for_all
