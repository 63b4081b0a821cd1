"""What changed in a game's eligibility between two moments, and which statements did it.

Pure: events in, changes out. A row differs where its number, may_play, may_carry, basis or listed
does; a statement more that changes none of these is no change. The moments go by `entered`, or by
`recorded`; the first is outside, the second inside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.derive.statements import Statement, all_statements, with_withdrawals
from ledger.record.kinds import ON_LIST, ROSTER_CHANGES, SCHEDULE_CHANGES
from ledger.store.store import Stored

Clock = Literal["entered", "recorded"]
ANSWER = ("number", "may_play", "may_carry", "basis", "listed")


@dataclass(frozen=True)
class Change:
    """A row that differs: `before` and `after` hold the keys of ANSWER, or are None: no row.

    `statements` are those of the time between that are about it, in ledger order.
    """

    team: str
    player: str
    number: int | None
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    statements: tuple[Statement, ...]


def find_changes(
    events: Sequence[Stored], game: str, *, since: str, until: str | None, clock: Clock = "entered"
) -> list[Change]:
    """The rows that differ, by team, number (None last) and player; times are UTC text."""
    earlier, later = (_engine(events, moment, clock) for moment in (since, until))
    before, after = _rows(earlier, game), _rows(later, game)
    statements = all_statements(later)
    between = [one for one in statements if since < getattr(one, clock)]
    changes = []
    for key in before.keys() | after.keys():
        was, is_now = before.get(key), after.get(key)
        if _answer(was) == _answer(is_now):
            continue
        touching = _Row(game, *key, was, is_now).touching(statements)
        row = is_now or was or {}
        moving = tuple(one for one in between if one.event in touching)
        number = row["number"]
        changes.append(Change(*key, number, _answer(was), _answer(is_now), moving))
    earlier.close()
    later.close()
    return sorted(changes, key=lambda c: (c.team, c.number is None, c.number or 0, c.player))


@dataclass(frozen=True)
class _Row:
    game: str
    team: str
    player: str
    was: Mapping[str, Any] | None
    is_now: Mapping[str, Any] | None

    def touching(self, statements: Sequence[Statement]) -> set[str]:
        """Ids of the statements that may move this row, and of their withdrawals."""
        rulings = [t for t in statements if t.kind == "ruling" and self._is_about(t)]
        cases = {t.says["case_id"] for t in rulings}
        rulers = {t.by for t in rulings}
        found = {
            t.event
            for t in statements
            if self._is_about(t)
            or (t.kind == "case_open" and t.says["case_id"] in cases)
            or (t.kind == "appoint" and t.says["value"] in rulers)
        }
        return with_withdrawals(found, statements)

    def _is_about(self, statement: Statement) -> bool:
        if statement.kind in ROSTER_CHANGES:
            return self._is_another_on_the_roster() and (statement.team, statement.player) == (
                self.team,
                self.player,
            )
        if statement.kind == "initial":
            return statement.event in self._events(self.was) ^ self._events(self.is_now)
        if statement.game != self.game:
            return False
        if statement.kind == "half":
            return statement.says["half"] == 1 and self._plays_otherwise()
        if statement.kind == "plays" and self.was and self.is_now:
            return False
        if statement.kind in (*ON_LIST, "plays"):
            return (statement.team, statement.player) == (self.team, self.player)
        return statement.kind in SCHEDULE_CHANGES

    def _is_another_on_the_roster(self) -> bool:
        return not (self.was and self.is_now and self.was["number"] == self.is_now["number"])

    def _plays_otherwise(self) -> bool:
        return not (self.was and self.is_now and self.was["may_play"] == self.is_now["may_play"])

    @staticmethod
    def _events(row: Mapping[str, Any] | None) -> set[str]:
        return set(row["events"]) if row else set()


def _engine(events: Sequence[Stored], moment: str | None, clock: Clock) -> Engine:
    if clock == "entered":
        return Engine(events, as_of=moment)
    return Engine(events, known_at=moment)


def _rows(engine: Engine, game: str) -> dict[tuple[str, str], dict[str, Any]]:
    rows = engine.answer("eligibility", game=game).dicts()
    return {(row["team"], row["player"]): row for row in rows}


def _answer(row: Mapping[str, Any] | None) -> dict[str, Any] | None:
    return {key: row[key] for key in ANSWER} if row else None
