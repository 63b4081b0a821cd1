"""Who and what the question of a packet is about: players, games, teams."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.statements import Statement, all_statements
from ledger.record.kinds import CASE
from ledger.review.cases import Case, case_in
from ledger.store.store import Store, Stored

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


class Question(NamedTuple):
    case: Case
    asked: frozenset[str]
    games: tuple[Mapping[str, Any], ...]
    sides: tuple[tuple[str, str], ...]


def read_question(
    store: Store, stored: Sequence[Stored], case_id: str, now: str, moment: Mapping[str, str | None]
) -> Question:
    """The case without its findings, and what it asks about."""
    engine = Engine(stored, **moment)
    events = {one.id: one.event for one in stored}
    case = case_in(store, engine, events, case_id, now=now, with_findings=False)
    own = {entry.event_id for entry in case.timeline}
    standing = [one for one in all_statements(engine) if one.event in own and one.stands]
    asked = asked_in(case, standing, engine)
    games = games_in(case, standing, engine)
    engine.close()
    return Question(case, asked, games, sides_in(case, standing, games))
