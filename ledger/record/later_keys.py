"""Keys of league.toml that are younger than some ledgers, and what they are where a row lacks them.

A ledger keeps its league row as it was loaded; a key that it lacks has its default everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

LATER_KEYS: Mapping[str, Mapping[str, Any]] = {
    "weigh_in": {"training_valid_days": 0},
    "card": {"gear": [], "shoes": [], "stripe": [], "distance": []},
}
"""By table of the league's data; `sql/staging/league.sql` has the same defaults."""


def with_later_keys(league: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a league's event, with the defaults of the keys that its row lacks."""
    whole = {table: {**keys, **league.get(table, {})} for table, keys in LATER_KEYS.items()}
    return {**league, **whole}
