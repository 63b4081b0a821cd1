"""A ledger in memory of events as they are, of every chain, without an acceptance."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.chain.canonical import canonical
from ledger.chain.hashing import BEGINNING
from ledger.record.accepted import subject_of
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import Stored
from tests.derive.season_cases import empty_store
from tests.random_seasons import Event


def stored_events(events: Sequence[Event]) -> list[Stored]:
    """The events as a store gives them out, in the order given."""
    clocks: dict[str, str] = {}
    stored = []
    for event in events:
        chain = event["chain"]
        clocks[chain] = max(clocks.get(chain, ""), event["recorded"])
        stored.append(Stored(clocks[chain], chain, event["seq"], canonical(event).decode()))
    return stored


def store_of(events: Sequence[Event]) -> SqliteStore:
    """The ledger that holds these events in this order; their hashes are not theirs."""
    store = empty_store()
    put(store, events)
    return store


def put(store: SqliteStore, events: Sequence[Event], *, there: int = 0) -> None:
    """Put these events into the ledger in this order, but for the first, which are there."""
    clocks = [stored.clock for stored in stored_events(events)]
    for position, (event, clock) in enumerate(zip(events, clocks, strict=True), 1):
        if position <= there:
            continue
        row = {key: event.get(key) for key in ("chain", "seq", "kind", "recorded", "entered")}
        row |= {key: event.get(key) for key in ("game", "team", "player")}
        row |= {
            "clock": clock,
            "position": position,
            "prev": _hash(event, -1),
            "hash": _hash(event, 0),
        }
        row |= {"body": canonical(event).decode(), "ref": event["data"].get("ref")}
        row |= {"subject": subject_of(event["kind"], event["data"])}
        store.connection.execute(
            f"insert into event ({', '.join(row)}) values (:{', :'.join(row)})", row
        )


def _hash(event: Event, step: int) -> bytes:
    """Of this event or the one before it, so that links are whole."""
    seq = event["seq"] + step
    return f"{event['chain']}:{seq}".encode().ljust(32) if seq else BEGINNING
