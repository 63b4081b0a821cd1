"""What may still hold a child's name when its texts are erased: for a person to deal with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ledger.chain.event import Event
from ledger.store.erasure import redactions, with_text
from ledger.store.mentions import Mentions, find_mentions, holds, names_in, sought
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals


class KeptFile(NamedTuple):
    """A file that the ledger keeps: its SHA-256 (hex), its name, what it is."""

    sha256: str
    name: str
    what: str


@dataclass(frozen=True)
class OutOfReach:
    """What may hold the child's name beside the texts that are erased.

    `is_named` is false where the name is erased already, or was never given: then no `mentions`
    can be looked for.
    """

    files: tuple[str, ...]
    exhibits: tuple[KeptFile, ...]
    notes: tuple[str, ...]
    mentions: Mentions
    is_named: bool


def out_of_reach(store: Store, player: str, erasing: Sequence[Event]) -> OutOfReach:
    """What the erasure of these events will leave; asked before it, while the name is known."""
    own = [event for event in erasing if event.player == player]
    sources = {
        event.data["source"]["file"]
        for event in erasing
        if "digests" in event.data and "source" in event.data
    }
    sources |= {"players.csv"} if any(event.kind == "player" for event in own) else set()
    cases = sorted({event.data["case"] for event in own if "case" in event.data})
    of_cases = [stored.event for stored in store.events(subject=cases) if stored.event.by]
    ids = {event.id for event in erasing}
    told = [event for event in with_withdrawals(store, of_cases) if event.id not in ids]
    notes = with_text(store, told)
    names = names_in(store, own)
    return OutOfReach(
        tuple(sorted(sources)),
        _kept_files(store, own, of_cases, names),
        notes,
        find_mentions(store, names, besides=ids | set(notes)),
        bool(names),
    )


def _kept_files(
    store: Store, own: Sequence[Event], of_cases: Sequence[Event], names: Sequence[str]
) -> tuple[KeptFile, ...]:
    """Exhibits of its cases, scans of its teams' lists, and files whose names hold the name."""
    kept, copies = store.exhibits(), redactions(store)
    found: dict[str, str] = {}
    for event in of_cases:
        if event.kind == "case_exhibit":
            digest = event.data["value"]
            found.setdefault(copies.get(digest, digest), "exhibit")
    teams = {event.team for event in own if event.team}
    for event in (stored.event for stored in store.events(kind=["countersign"])):
        if event.team in teams and "scan" in event.data:
            digest = event.data["scan"]
            found.setdefault(copies.get(digest, digest), "scan of a list")
    words = sought(names)
    for digest, name in kept.items():
        if holds(name, words):
            found.setdefault(digest, "file")
    there = (KeptFile(digest, kept[digest], found[digest]) for digest in found if digest in kept)
    return tuple(sorted(there))
