"""Steps 1 and 2 of the audit: bytes to hashes, then links, sequence and columns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ledger.audit.report import Problem
from ledger.audit.rows import RawEvent
from ledger.chain.event import Event, parse_event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError

_SAME = ("chain", "seq", "kind", "recorded", "entered", "game", "team", "player")
_SUBJECT = {"appoint": "value", "withdraw": "target", "division": "division",
            "official": "official", "official_key": "official",
            "key_revoked": "official"}  # fmt: skip


class ChainCheck:
    """Follows one chain row by row; `hashes` are the leaf hashes of the stored bytes."""

    def __init__(self, chain: str) -> None:
        self.chain = chain
        self.hashes: list[bytes] = []
        self._seq = 0
        self._position = 0
        self._stored_hash = BEGINNING

    def check(self, row: RawEvent) -> Iterator[Problem]:
        """The problems of the next row."""
        hashed = leaf_hash(_bytes(row.body))
        yield from self._sequence(row)
        if hashed != row.hash:
            yield self._problem(row.seq, "altered", "its bytes do not give its hash")
        yield from _columns(row)
        if row.seq == self._seq + 1 and row.prev != self._stored_hash:
            what = "the event after it names another hash as the one before"
            where = (self._seq, "altered", what) if self._seq else (row.seq, "altered", _FIRST)
            yield self._problem(*where)
        self._seq, self._position, self._stored_hash = row.seq, row.position, row.hash
        self.hashes.append(hashed)

    def _sequence(self, row: RawEvent) -> Iterator[Problem]:
        if row.seq == self._seq:
            yield self._problem(row.seq, "fork", "this sequence number stands twice")
        elif row.seq != self._seq + 1:
            missing = (
                f"{self._seq + 1} to {row.seq - 1}" if row.seq > self._seq + 2 else row.seq - 1
            )
            yield self._problem(self._seq + 1, "gap", f"missing: {missing}")
        if row.position < self._position:
            what = "it was accepted before the event that precedes it"
            yield self._problem(row.seq, "reordered", what)

    def _problem(self, seq: int, problem: str, detail: str) -> Problem:
        return Problem(self.chain, seq, problem, detail)


_FIRST = "the first event names an event before it"


def _columns(row: RawEvent) -> Iterator[Problem]:
    try:
        event = parse_event(_bytes(row.body))
    except InputError as error:
        yield Problem(row.chain, row.seq, "altered", f"its bytes are no event: {error.message}")
        return
    columns: dict[str, Any] = {name: getattr(event, name) for name in _SAME}
    columns |= {"prev": event.prev, "subject": _subject(event), "ref": event.data.get("ref")}
    for name, value in columns.items():
        if getattr(row, name) != value:
            what = f"the column {name} is not what its bytes say"
            yield Problem(row.chain, row.seq, "altered", what)


def _subject(event: Event) -> str | None:
    key = _SUBJECT.get(event.kind, "case" if event.at else "")
    return event.data.get(key)


def _bytes(body: str | bytes) -> bytes:
    return body if isinstance(body, bytes) else body.encode("utf-8", "surrogateescape")
