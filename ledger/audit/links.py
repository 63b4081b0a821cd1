"""Steps 1 and 2 of the audit: bytes to hashes, then links, sequence, time and columns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ledger.audit.report import Problem
from ledger.audit.rows import RawEvent, as_bytes, readable
from ledger.chain.event import Event, parse_event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError

_SAME = ("chain", "seq", "kind", "recorded", "entered", "game", "team", "player")
_SUBJECT = {"appoint": "value", "withdraw": "target", "division": "division",
            "official": "official", "official_key": "official",
            "key_revoked": "official"}  # fmt: skip
_FIRST = "the first event names an event before it"


class ChainCheck:
    """Follows one chain row by row; `hashes` are the leaf hashes of the stored bytes.

    `after` is the row before the first one to check, where a chain is followed in parts.
    `clock_back` are the seqs at which the recorded time went back: a note, not a problem.
    """

    def __init__(self, chain: Any, after: RawEvent | None = None, *, columns: bool = True) -> None:
        self.chain = readable(chain)
        self.hashes: list[bytes] = []
        self.clock_back: list[int] = []
        self._with_columns = columns
        self._seq = after.seq if after else 0
        self._position = after.position if after else 0
        self._recorded = after.recorded if after else ""
        self._stored_hash = after.hash if after else BEGINNING

    def check(self, row: RawEvent) -> Iterator[Problem]:
        """The problems of the next row."""
        if type(row.seq) is not int or not isinstance(row.body, str | bytes):
            what = f"the row at position {row.position} holds no sequence number or no text"
            yield Problem(self.chain, None, "altered", what)
            return
        # (1) bytes to hashes
        hashed = leaf_hash(as_bytes(row.body))
        if hashed != row.hash:
            yield self._problem(row.seq, "altered", "its bytes do not give its hash")
        # (2) links, sequence and time order, columns
        if row.seq != self._seq + 1 or row.position < self._position:
            yield from self._sequence(row)
        if self._with_columns:
            yield from self._columns(row)
        if row.seq == self._seq + 1 and row.prev != self._stored_hash:
            what = "the event after it names another hash as the one before"
            where = (self._seq, "altered", what) if self._seq else (row.seq, "altered", _FIRST)
            yield self._problem(*where)
        if isinstance(row.recorded, str):
            if row.recorded < self._recorded:
                self.clock_back.append(row.seq)
            self._recorded = row.recorded
        self._seq, self._position, self._stored_hash = row.seq, row.position, row.hash
        self.hashes.append(hashed)

    def _sequence(self, row: RawEvent) -> Iterator[Problem]:
        first, last = self._seq + 1, row.seq - 1
        if row.seq == self._seq:
            yield self._problem(row.seq, "fork", "this sequence number stands twice")
        elif last >= first:
            missing = f"{first}" if first == last else f"{first} to {last}"
            yield self._problem(first, "gap", f"missing: {missing}")
        if row.position < self._position:
            what = "it was accepted before the event that precedes it"
            yield self._problem(row.seq, "reordered", what)

    def _columns(self, row: RawEvent) -> Iterator[Problem]:
        try:
            event = parse_event(as_bytes(row.body))
        except InputError as error:
            what = f"its bytes are no event: {error.message}"
            yield self._problem(row.seq, "altered", what)
            return
        columns: dict[str, Any] = {name: getattr(event, name) for name in _SAME}
        columns |= {"prev": event.prev, "subject": _subject(event), "ref": event.data.get("ref")}
        for name, value in columns.items():
            if getattr(row, name) != value:
                what = f"the column {name} is not what its bytes say"
                yield self._problem(row.seq, "altered", what)

    def _problem(self, seq: int, problem: str, detail: str) -> Problem:
        return Problem(self.chain, seq, problem, detail)


def _subject(event: Event) -> str | None:
    key = _SUBJECT.get(event.kind, "case" if event.at else "")
    return event.data.get(key)
