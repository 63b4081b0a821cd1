"""What changed in a game's eligibility between two moments, and which statements did it.

Pure: events in, changes out. A row differs if a value of ANSWER does; a statement that changes
none of these is no change. Moments go by `entered` or `recorded`; the first is outside, the second
inside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.chain.event import Event
from ledger.derive.corrections import behind_a_change, corrections_in
from ledger.derive.engine import Engine
from ledger.derive.statements import Statement, all_statements, with_withdrawals
from ledger.record.kinds import ON_LIST, ROSTER_CHANGES, SCHEDULE_CHANGES
from ledger.store.store import Stored

Clock = Literal["entered", "recorded"]
ANSWER = ("number", "may_play", "may_carry", "basis", "listed")


@dataclass(frozen=True)
class Change:
    """A row that differs: `before` and `after` have the keys of ANSWER, or are None without a row.

    `statements` and `corrections` of tables are those between the two moments that are about it, in
    ledger order.
    """

    team: str
    player: str
    number: int | None
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    statements: tuple[Statement, ...]
    corrections: tuple[Event, ...] = ()


def find_changes(
    events: Sequence[Stored], game: str, *, since: str, until: str | None, clock: Clock = "entered"
) -> list[Change]:
    """Return the rows that differ, by team, number (None last) and player; times are UTC text."""
    limit = "as_of" if clock == "entered" else "known_at"
    earlier, later = (Engine(events, **{limit: moment}) for moment in (since, until))
    before, after = _rows(earlier, game), _rows(later, game)
    statements = all_statements(later)
    between = [one for one in statements if since < getattr(one, clock)]
    corrected = [
        one
        for one in corrections_in(events)
        if since < (when := str(getattr(one, clock))) and (until is None or when <= until)
    ]
    changes = []
    for key in before.keys() | after.keys():
        was, is_now = before.get(key), after.get(key)
        if _answer(was) == _answer(is_now):
            continue
        touching = _Row(game, *key, was, is_now).touching(statements)
        number = (is_now or was or {})["number"]
        moving = tuple(one for one in between if one.event in touching)
        behind = behind_a_change(corrected, game, key[1], is_explained=bool(moving))
        changes.append(Change(*key, number, _answer(was), _answer(is_now), moving, behind))
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
        """Return ids of the statements that may change this row, and of their withdrawals."""
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
        kind, is_own = (
            statement.kind,
            (statement.team, statement.player) == (self.team, self.player),
        )
        if kind in ROSTER_CHANGES:
            return is_own and self._differs("number")
        if kind == "initial":
            was, is_now = (set(row["events"]) if row else set() for row in (self.was, self.is_now))
            return statement.event in was ^ is_now
        if statement.game != self.game:
            return False
        if kind == "half":
            return statement.says["half"] == 1 and self._differs("may_play")
        if kind == "plays":
            return is_own and not (self.was and self.is_now)
        return is_own if kind in ON_LIST else kind in SCHEDULE_CHANGES

    def _differs(self, key: str) -> bool:
        return not (self.was and self.is_now and self.was[key] == self.is_now[key])


def _rows(engine: Engine, game: str) -> dict[tuple[str, str], dict[str, Any]]:
    rows = engine.answer("eligibility", game=game).dicts()
    return {(row["team"], row["player"]): row for row in rows}


def _answer(row: Mapping[str, Any] | None) -> dict[str, Any] | None:
    return {key: row[key] for key in ANSWER} if row else None
