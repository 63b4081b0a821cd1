"""Which event of a table's row counts: its latest correction by then, otherwise the row as loaded.

A correction is an event of the row's kind that holds the whole row as it should have been. It has
`by`, `entered` and a reason, and `corrects`: the id of the event that brought the row in. Rejected:
finding an official's line by official, role and team, since a correction changes those.
"""

from __future__ import annotations

from collections.abc import Iterable

from ledger.chain.event import Event
from ledger.record.accepted import Order, Stated
from ledger.record.kinds import SETUP


def is_correction(stated: Stated) -> bool:
    return "corrects" in stated.data


def row_of(stated: Stated, event_id: str) -> str:
    """The id of the event that brought in the row of this setup event."""
    return str(stated.data.get("corrects", event_id))


def weight_of(stated: Stated, order: Order) -> tuple[bool, Order]:
    """Of a row's events the heaviest counts. A slow clock puts no correction before its row."""
    return is_correction(stated), order


def rows_that_count(
    events: Iterable[Event], *, as_of: str | None = None, known_at: str | None = None
) -> list[Event]:
    """These events, given in ledger order, with only the event that counts of each table's row.

    It takes the place of the row's first event. Corrections entered after `as_of` or recorded after
    `known_at` are left out. Events of other kinds stay as they are.
    """
    found: dict[str, Event] = {}
    for event in events:
        row = row_of(event, event.id) if event.kind in SETUP else event.id
        if not is_correction(event):
            found.setdefault(row, event)
        elif (as_of is None or (event.entered or "") <= as_of) and (
            known_at is None or event.recorded <= known_at
        ):
            found[row] = event
    return list(found.values())
