"""What the league's own event says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.record.corrections import is_correction, rows_that_count

if TYPE_CHECKING:
    from ledger.store.store import Store


def league_data(store: Store) -> Mapping[str, Any]:
    """league.toml as it counts now: name, season, time_zone, privacy, …"""
    for event in rows_that_count(stored.event for stored in store.events(kind=["league"])):
        return event.data
    return {"time_zone": "UTC"}  # a ledger that somebody has damaged


def first_league(store: Store) -> Mapping[str, Any]:
    """league.toml as it was loaded first, which names every chain; empty in an empty ledger."""
    events = (stored.event for stored in store.events(kind=["league"]))
    return next((event.data for event in events if not is_correction(event)), {})


def league_zone(store: Store) -> str:
    """The name of the league's time zone, such as "America/Chicago"."""
    return str(league_data(store)["time_zone"])
