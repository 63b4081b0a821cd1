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

    def __init__(self, chain: Any) -> None:
        self.chain = _readable(chain)
        self.hashes: list[bytes] = []
        self._seq = 0
        self._position = 0
        self._stored_hash = BEGINNING

    def check(self, row: RawEvent) -> Iterator[Problem]:
        """The problems of the next row."""
        if type(row.seq) is not int or not isinstance(row.body, str | bytes):
            what = f"the row at position {row.position} holds no sequence number or no text"
            yield Problem(self.chain, None, "altered", what)
            return
        hashed = leaf_hash(_bytes(row.body))
        yield from self._sequence(row)
        if hashed != row.hash:
            yield self._problem(row.seq, "altered", "its bytes do not give its hash")
        yield from self._columns(row)
        if row.seq == self._seq + 1 and row.prev != self._stored_hash:
            what = "the event after it names another hash as the one before"
            where = (self._seq, "altered", what) if self._seq else (row.seq, "altered", _FIRST)
            yield self._problem(*where)
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
            event = parse_event(_bytes(row.body))
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


_FIRST = "the first event names an event before it"


def _subject(event: Event) -> str | None:
    key = _SUBJECT.get(event.kind, "case" if event.at else "")
    return event.data.get(key)


def _bytes(body: str | bytes) -> bytes:
    return body if isinstance(body, bytes) else body.encode("utf-8", "surrogateescape")


def _readable(chain: Any) -> str:
    """The chain's name, printable even where somebody wrote bytes that are no text."""
    text = chain if isinstance(chain, str) else repr(chain)
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
