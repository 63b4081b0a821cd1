"""What people wrote beside their statements: notes and free-text reasons, and what was erased."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.store.store import Store

_WORDS = ("note", "reason")
"""Personal fields of a case's statements, of withdrawals and of changes to a game."""


def said_in(store: Store, ids: Iterable[str]) -> dict[str, str]:
    """The notes and free-text reasons of these events, by event id."""
    said: dict[str, str] = {}
    for row in store.disclosures(sorted(ids)):
        if row.field in _WORDS:
            text = open_disclosure(row.text).value
            said[row.event_id] = f"{said[row.event_id]} {text}" if row.event_id in said else text
    return said


def is_erased(event: Event, said: Mapping[str, str]) -> bool:
    """Whether something was written with the event, and is not among what is still `said`."""
    return event.id not in said and any(key in event.data.get("digests", {}) for key in _WORDS)
