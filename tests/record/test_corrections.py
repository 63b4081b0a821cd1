"""Which event of a table's row counts, in Python: the same as `sql/staging/table_row.sql`."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations
from typing import Any

import pytest

from ledger.audit import authority
from ledger.chain.event import Event
from ledger.record.corrections import rows_that_count
from ledger.record.known import Known

EARLY, NOON, LATE = (f"2026-09-05T{clock}:00:00.000Z" for clock in ("08", "12", "18"))


def event(seq: int, kind: str = "player", *, entered: str | None = None, **data: Any) -> Event:
    """A row of a table, or its correction where it was entered; recorded when it was entered."""
    top: dict[str, Any] = {"player": {"team": "ash", "player": "a1"}, "game": {"game": "g1"}}
    return Event(
        "office", seq, b"", "", kind, entered or EARLY, data, entered=entered, **top[kind]
    )  # fmt: skip


ROW = event(1, number=1)
FIRST = event(2, number=2, corrects="office:1", entered=NOON)
SECOND = event(3, number=3, corrects="office:1", entered=LATE)
OTHER = event(4, number=4)


def ids(events: Sequence[Event]) -> list[str]:
    return [one.id for one in events]


def test_the_latest_correction_counts_in_the_place_of_its_row() -> None:
    every = [ROW, OTHER, FIRST, SECOND]
    assert ids(rows_that_count(every)) == ["office:3", "office:4"]
    assert ids(rows_that_count(every, as_of=NOON)) == ["office:2", "office:4"]
    assert ids(rows_that_count(every, as_of=EARLY)) == ["office:1", "office:4"]
    assert ids(rows_that_count(every, known_at=NOON)) == ["office:2", "office:4"]


def test_a_slow_clock_puts_no_correction_before_its_row() -> None:
    assert ids(rows_that_count([FIRST, ROW])) == ["office:2"]
    assert ids(rows_that_count([FIRST, ROW], as_of=EARLY)) == ["office:1"]
    assert ids(authority.rows_that_count([FIRST, ROW])) == ["office:2"]  # the audit's own


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_acceptance_learns_the_same_row_in_any_order(order: Sequence[int]) -> None:
    """Ledger order decides, not the order in which a snapshot learns; the row comes last in it."""
    places = {"office:1": 9, "office:2": 2, "office:3": 3}
    games = [
        event(seq, "game", home="ash", visitor="elm", kickoff=kickoff, **more)
        for seq, kickoff, more in (
            (1, EARLY, {}),
            (2, NOON, {"corrects": "office:1", "entered": NOON}),
            (3, LATE, {"corrects": "office:1", "entered": LATE}),
        )
    ]
    known = Known()
    for one in order:
        for stated in ((ROW, FIRST, SECOND)[one], games[one]):
            known.learn(stated, stated.id, ("", "office", places[stated.id]))
    assert known.games["g1"].kickoff == LATE
    assert known.roster("ash", "g1") == {"a1": 3}
