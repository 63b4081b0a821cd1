"""Who to call, in which order and about what, with the names that the ledger knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.scope import read_officials
from ledger.papers.press.letters import printable_name
from ledger.papers.sheets.source import LeagueSource
from ledger.record.authority import role_name
from ledger.say import words
from ledger.say.names import ERASED, Names

MOST_NAMES = 6
"""More names do not fit into a row, and nobody finds theirs among them."""
_RANKS = ("1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th", "9th")


@dataclass(frozen=True, slots=True, kw_only=True)
class CallLine:
    """Who to ask, and about what. `names` are those known; people write in the rest."""

    role: str
    about: str
    names: tuple[str, ...] = ()


def who_to_call(source: LeagueSource, game: str = "") -> tuple[CallLine, ...]:
    """The league's reviewers in their order, and the registrar; for `game` if there is one."""
    known = _known(source, game)
    return tuple(
        CallLine(
            role=words.upper_first(role_name(role)),
            about=words.upper_first("; ".join(about)),
            names=known.get(role, ()),
        )
        for role, about in _asked(source.league).items()
    )


def _asked(league: Mapping[str, Any]) -> dict[str, list[str]]:
    asked: dict[str, list[str]] = {}
    for kind, about in (("other", "weigh-in, plays, safety"), ("roster", "roster")):
        for rank, role in zip(_RANKS, league["reviews"][kind], strict=False):
            asked.setdefault(role, []).append(f"{about} ({rank})")
    asked.setdefault("registrar", []).append("names, numbers, papers")
    return asked


def _known(source: LeagueSource, game: str) -> dict[str, tuple[str, ...]]:
    """The names by role, without roles that nobody confirmed: those cannot rule.

    Who holds a role for this game alone comes before all others.
    """
    stored = read_officials(source.store)
    names = Names(source.store, [one.event for one in stored], shown=printable_name)
    held: dict[str, dict[bool, set[str]]] = {}
    for row in Engine(stored).answer("role").dicts():
        name = names.of(row["official"])
        is_known = name not in (ERASED, row["official"])
        if row["has_authority"] and row["game"] in (None, game) and is_known:
            sets = held.setdefault(row["role"], {True: set(), False: set()})
            sets[row["game"] == game].add(name)
    chosen = {role: sorted(sets[True] or sets[False]) for role, sets in held.items()}
    return {role: tuple(many) for role, many in chosen.items() if len(many) <= MOST_NAMES}
