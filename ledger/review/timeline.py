"""A statement as a timeline shows it, with what people wrote beside it. Imports no packet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.derive.statements import Statement
from ledger.store.store import Store

_WORDS = ("note", "reason")
"""Personal fields of a case's statements, of withdrawals and of changes to a game."""


@dataclass(frozen=True)
class TimelineEntry:
    """A statement of the timeline.

    `data` is the event's, `number` the player's in that game. `said` is the note or reason, None
    if there is none or it `is_erased`. `is_own` is true for statements about the case.
    """

    statement: Statement
    data: Mapping[str, Any]
    number: int | None
    said: str | None
    is_erased: bool
    is_own: bool


def said_in(store: Store, ids: Iterable[str]) -> dict[str, str]:
    """Return the notes and free-text reasons of these events, by event id."""
    said: dict[str, str] = {}
    for row in store.disclosures(sorted(ids)):
        if row.field in _WORDS:
            text = open_disclosure(row.text).value
            said[row.event_id] = f"{said[row.event_id]} {text}" if row.event_id in said else text
    return said


def is_erased(event: Event, said: Mapping[str, str]) -> bool:
    """Whether text came with the event but is no longer in `said`."""
    return event.id not in said and any(key in event.data.get("digests", {}) for key in _WORDS)
