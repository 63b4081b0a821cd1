"""Step 6: disclosures against the digests in their events, exhibits against their SHA-256."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from hashlib import sha256

from ledger.audit.report import Problem
from ledger.audit.rows import as_bytes, readable
from ledger.chain.disclosure import digest_of
from ledger.chain.event import Event

Place = tuple[str, int, str]
"""Chain, seq and field of a disclosure."""


def check_disclosures(connection: sqlite3.Connection, events: Iterable[Event]) -> Iterator[Problem]:
    """Text that is not what was recorded, or gone without an erasure that says so."""
    digests: dict[Place, str] = {}
    erased: set[str] = set()
    for event in events:
        if event.kind == "erasure":
            erased.update(map(str, event.data.get("events", ())))
        held = event.data.get("digests", {})
        digests |= {(event.chain, event.seq, name): digest for name, digest in held.items()}
    here: set[Place] = set()
    for chain, seq, name, text in connection.execute(
        "select chain, seq, field, text from disclosure order by chain, seq, field"
    ):
        place = (readable(chain), seq, readable(name))
        here.add(place)
        if f"{chain}:{seq}" in erased:
            yield _differs(place, "was erased, and is here again")
        elif digests.get(place) != digest_of(as_bytes(text).decode("utf-8", "backslashreplace")):
            yield _differs(place, "is not what was recorded")
    for place in sorted(digests.keys() - here):
        if f"{place[0]}:{place[1]}" not in erased:
            yield _differs(place, "is gone, and no erasure says so")


def check_exhibits(connection: sqlite3.Connection, events: Iterable[Event]) -> Iterator[Problem]:
    """Files that are not what was handed in, and scans and copies that are missing."""
    wanted: dict[str, Event] = {}
    for event in events:
        if event.kind == "countersign" and "scan" in event.data:
            wanted[event.data["scan"]] = event
        elif event.kind == "redaction":
            wanted.pop(event.data.get("before", ""), None)
            wanted[event.data.get("after", "")] = event
    here = set()
    for digest, content in connection.execute("select sha256, content from exhibit order by 1"):
        here.add(digest)
        if sha256(as_bytes(content)).hexdigest() != digest:
            what = f"the file kept as {readable(digest)[:16]}… is not the one handed in"
            yield Problem("", None, "exhibit differs", what)
    for digest in sorted(wanted.keys() - here):
        event = wanted[digest]
        what = f"the file {digest[:16]}… that it names is not here"
        yield Problem(event.chain, event.seq, "exhibit differs", what)


def _differs(place: Place, what: str) -> Problem:
    chain, seq, name = place
    return Problem(chain, seq if type(seq) is int else None, "disclosure differs", f"{name} {what}")
