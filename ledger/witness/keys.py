"""Which key of an official is in force after some key events: read from the events alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.chain.event import Event
from ledger.chain.note import VerifierKey, parse_verifier_key

Scope = tuple[str, str | None]
"""An official, and the game that a key is for, None for the whole season."""


@dataclass(frozen=True)
class OfficialKey:
    """An official's key: the public half, since which event it is in force, and for which game."""

    official: str
    key: VerifierKey
    since: str
    game: str | None = None


def key_name(official: str, origin: str, game: str | None = None) -> str:
    """The name that an official's cosignatures bear.

    >>> key_name("off-1", "tall-grass-league/2026/office")
    'off-1@tall-grass-league/2026/office'
    >>> key_name("off-1", "tall-grass-league/2026/office", "acorn-1a")
    'off-1@tall-grass-league/2026/office#acorn-1a'
    """
    return f"{official}@{origin}" + (f"#{game}" if game else "")


def keys_in_force(events: Iterable[Event]) -> dict[Scope, OfficialKey]:
    """The keys in force after these key events, which come in ledger order.

    A key that was revoked, or that a later one names in `replaces`, is not in force, wherever the
    clocks of several chains put these events; the order settles only what they leave open.
    """
    events = list(events)
    revoked = {event.data["key"] for event in events if event.kind == "key_revoked"}
    replaced = {event.data.get("replaces") for event in events}
    keys: dict[Scope, OfficialKey] = {}
    for event in events:
        if event.kind != "official_key" or event.data["key"] in replaced:
            continue
        official, game, line = event.data["official"], event.data.get("game"), event.data["key"]
        keys.pop((official, game), None)
        if line not in revoked:
            made = OfficialKey(official, parse_verifier_key(line), event.id, game)
            keys[official, game] = made
    return keys
