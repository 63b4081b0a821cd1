"""What the league's own event says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ledger.store.store import Store


def league_data(store: Store) -> Mapping[str, Any]:
    """The rows of league.toml as they were loaded: name, season, time_zone, privacy, …"""
    for stored in store.events(kind=["league"]):
        return stored.event.data
    return {"time_zone": "UTC"}  # a ledger that somebody has damaged


def league_zone(store: Store) -> str:
    """The name of the league's time zone, such as "America/Chicago"."""
    return str(league_data(store)["time_zone"])
