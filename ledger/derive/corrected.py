"""Which answers of the season change if rows of the tables are corrected: pure, events in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.changes import ANSWER
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.store.store import Stored

GAME = ("kickoff_at", "site")
PLAYS = ("required", "status", "short")
_FINDING = ("rule", "game", "team", "player", "official", "side", "case", "at")


@dataclass(frozen=True)
class Changed:
    """A game or a player's row whose answers differ: the values of the keys that do.

    `team` and `player` are None for a game. A row that is only on one side has None on the other.
    """

    game: str
    team: str | None
    player: str | None
    number: int | None
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None


@dataclass(frozen=True)
class AnswersChanged:
    """`gone` are findings that no longer are, `new` those that come."""

    games: tuple[Changed, ...]
    players: tuple[Changed, ...]
    gone: tuple[Mapping[str, Any], ...]
    new: tuple[Mapping[str, Any], ...]


def compare_answers(before: Sequence[Stored], after: Sequence[Stored]) -> AnswersChanged:
    """The season's answers from these events and from those, in the answers' order."""
    one, other = Engine(before), Engine(after)
    try:
        was, now = find(one).dicts(), find(other).dicts()
        return AnswersChanged(
            games=tuple(_changed(_games(one), _games(other))),
            players=tuple(_changed(_players(one), _players(other))),
            gone=tuple(_only_in(was, now)),
            new=tuple(_only_in(now, was)),
        )
    finally:
        one.close()
        other.close()


_Rows = dict[tuple[str, str | None, str | None], dict[str, Any]]


def _games(engine: Engine) -> _Rows:
    rows = engine.answer("game").dicts()
    return {(row["game"], None, None): {key: row[key] for key in GAME} for row in rows}


def _players(engine: Engine) -> _Rows:
    found: _Rows = {}
    for name, keys in (("eligibility", ANSWER), ("exposure", PLAYS)):
        for row in engine.answer(name).dicts():
            values = found.setdefault((row["game"], row["team"], row["player"]), {})
            values |= {key: row[key] for key in keys}
    return found


def _changed(before: _Rows, after: _Rows) -> list[Changed]:
    found = []
    for key in dict.fromkeys([*before, *after]):
        was, now = before.get(key), after.get(key)
        number = ((was or {}) | (now or {})).get("number")
        if was is not None and now is not None:
            differ = [name for name in was if was[name] != now[name]]
            was, now = ({name: one[name] for name in differ} for one in (was, now))
        if was != now:
            found.append(Changed(*key, number, was, now))
    return found


def _only_in(
    ours: Sequence[Mapping[str, Any]], theirs: Sequence[Mapping[str, Any]]
) -> list[Mapping[str, Any]]:
    there = {tuple(row[key] for key in _FINDING) for row in theirs}
    return [row for row in ours if tuple(row[key] for key in _FINDING) not in there]
