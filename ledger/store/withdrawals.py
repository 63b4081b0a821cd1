"""The withdrawals of events, by index."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.chain.event import Event
from ledger.store.store import Store, Stored


def withdrawals_of(store: Store, ids: Iterable[str]) -> list[Stored]:
    """What withdraws these events, what withdraws that, and so on: each once, and none of these."""
    known = set(ids)
    newest, found = sorted(known), []
    while newest:
        more = store.events(kind=["withdraw"], subject=newest)
        new = [stored for stored in more if stored.id not in known]
        newest = [stored.id for stored in new]
        known.update(newest)
        found += new
    return found


def with_withdrawals(store: Store, events: Iterable[Event]) -> list[Event]:
    """These events, each once, and then their withdrawals; rows of the setup have none."""
    held = {event.id: event for event in events}
    stated = (event_id for event_id, event in held.items() if event.at)
    more = [stored.event for stored in withdrawals_of(store, stated)]
    return list((held | {event.id: event for event in more}).values())
