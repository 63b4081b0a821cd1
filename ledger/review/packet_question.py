"""Who and what the question of a packet is about: players, games, teams."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.statements import Statement
from ledger.record.kinds import CASE
from ledger.review.cases import Case

_OF_NO_LIST = ("safety", "other")


def asked_in(case: Case, own: Iterable[Statement], engine: Engine) -> frozenset[str]:
    """The players that the case names, or that a roster question without a player is about.

    Give standing statements only: a name in a withdrawn one was a mistake, so nothing prints it.
    """
    named = {case.player, *(one.player for one in own if one.kind in CASE)}
    if case.reason == "roster" and case.player is None and case.game:
        strangers = find(engine, game=case.game, team=case.team, rule="not_on_roster").dicts()
        named |= {row["player"] for row in strangers}
    return frozenset(player for player in named if player)


def games_in(case: Case, own: Sequence[Statement], engine: Engine) -> tuple[Mapping[str, Any], ...]:
    """The rows of the games that the case names, the question's first."""
    named = [case.game, *(one.game for one in own)]
    rows = {row["game"]: row for row in engine.answer("game").dicts()}
    return tuple(rows[game] for game in dict.fromkeys(named) if game in rows)


def sides_in(
    case: Case, own: Sequence[Statement], games: Sequence[Mapping[str, Any]]
) -> tuple[tuple[str, str], ...]:
    """The teams that the case names in a game, or both if it names none.

    A question that is not about the weigh-in, its list or its plays has only the named ones.
    """
    named = [(case.game, case.team), *((one.game, one.team) for one in own)]
    found = [(game, team) for game, team in dict.fromkeys(named) if game and team]
    for row in games if case.reason not in _OF_NO_LIST else ():
        if row["game"] not in dict(found):
            found += [(row["game"], row["visitor"]), (row["game"], row["home"])]
    both = {(row["game"], row[side]) for row in games for side in ("home", "visitor")}
    return tuple(side for side in found if side in both)
