"""Which events the forecast and the findings of a game need, beside the game's own."""

from __future__ import annotations

from ledger.derive.scope import read_game, read_season
from ledger.store.store import Store, Stored

_SNAPS_OF_THE_SEASON = ("game", "game_change", "game_off", "snaps", "half", "withdraw")


def read_forecast(store: Store, game: str) -> list[Stored]:
    """The game's events and every game's snaps; InputError for an unknown game."""
    found = {stored.position: stored for stored in read_game(store, game)}
    found |= {stored.position: stored for stored in store.events(kind=_SNAPS_OF_THE_SEASON)}
    return [found[position] for position in sorted(found)]


def read_findings(store: Store, game: str) -> list[Stored]:
    """The game's events; InputError for an unknown game.

    The whole season for a game with a case: a case is overdue once anything at all was entered
    after its time, in whatever game.
    """
    events = read_game(store, game)
    if any(stored.event.kind == "case_open" for stored in events):
        return list(read_season(store))
    return events
