"""Officials' keys in force, from key events alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.chain.event import HELD, Event
from ledger.chain.note import VerifierKey, parse_verifier_key

Scope = tuple[str, str | None]
"""An official, and the game that a key is for; None for the whole season."""


@dataclass(frozen=True)
class OfficialKey:
    """An official's public key, the id of its event, and its game if it is for one only.

    `is_on_phone`: the official's phone holds the private key, and no passphrase opens it.
    """

    official: str
    key: VerifierKey
    since: str
    game: str | None = None
    is_on_phone: bool = False


def key_name(official: str, origin: str, game: str | None = None) -> str:
    """Return the key name in an official's cosignatures.

    >>> key_name("off-1", "tall-grass-league/2026/office")
    'off-1@tall-grass-league/2026/office'
    >>> key_name("off-1", "tall-grass-league/2026/office", "acorn-1a")
    'off-1@tall-grass-league/2026/office#acorn-1a'
    """
    return f"{official}@{origin}" + (f"#{game}" if game else "")


def in_ledger_order(events: Iterable[Event]) -> list[Event]:
    """Return the events in ledger order, as far as they alone show it."""
    clocks: dict[str, str] = {}
    placed = []
    for event in sorted(events, key=lambda one: (one.chain, one.seq)):
        clocks[event.chain] = max(event.recorded, clocks.get(event.chain, ""))
        placed.append((clocks[event.chain], event.chain, event.seq, event))
    return [event for *_, event in sorted(placed, key=lambda one: one[:3])]


def keys_in_force(events: Iterable[Event]) -> dict[Scope, OfficialKey]:
    """Return the keys in force after these key events, which are in ledger order.

    A revoked key, or one that another names in `replaces`, is out whatever the clocks of the
    chains say. The order decides only between the others.
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
            key = parse_verifier_key(line)
            is_on_phone = event.data.get("held") == HELD
            keys[official, game] = OfficialKey(official, key, event.id, game, is_on_phone)
    return keys
