"""The teams for which an official may weigh and sign in a game."""

from __future__ import annotations

from ledger.derive.engine import Engine
from ledger.derive.scope import read_official
from ledger.store.store import Store


def weighmaster_of(store: Store, official: str, game: str) -> set[str]:
    """The teams whose weighmaster the official is in this game, for the season or for it alone."""
    return {
        str(role["team"])
        for role in Engine(read_official(store, official)).answer("role").dicts()
        if role["role"] == "weighmaster" and role["game"] in (None, game)
    }
