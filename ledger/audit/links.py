"""Steps 1 and 2, row by row: every event's bytes, links, number, order and columns.

This says what is wrong and where. If nothing is wrong, `ledger.audit.quick` has already shown that
in a third of the time; a test compares the two.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from ledger.audit.report import Problem
from ledger.audit.rows import RawEvent, raw_bytes, read_events, readable
from ledger.chain.event import Event, parse_event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError

SAME = ("chain", "seq", "kind", "recorded", "entered", "game", "team", "player")
"""Columns that copy the event's key of the same name."""
_FIRST = "the first event names an event before it"

_SUBJECT = {"appoint": "value", "trained": "value", "assign": "value", "withdraw": "target",
            "division": "division", "official": "official", "official_key": "official",
            "key_revoked": "official"}  # fmt: skip
_STEP = 1000


class ChainRead(NamedTuple):
    """A chain as read: recomputed hashes in order, its last number, and where its clock went back.

    `blocks` are the Merkle roots computed along the way (see `ledger.audit.tree`).
    """

    chain: str
    hashes: bytes
    last_seq: int
    clock_back: list[int]
    blocks: dict[int, bytes]


def explain(
    connection: sqlite3.Connection,
    on_step: Callable[[int], object],
    *,
    are_all_there: bool = True,
) -> tuple[list[ChainRead], list[Problem], list[Problem]]:
    """Return every chain, the problems of step 1, and those of step 2.

    `are_all_there` is False if some events cannot be read; then missing positions are no problem.
    """
    chains: list[ChainRead] = []
    bytes_wrong: list[Problem] = []
    links_wrong: list[Problem] = []
    for chain, rows in groupby(read_events(connection), key=lambda row: row.chain):
        check = ChainCheck(chain)
        for count, row in enumerate(rows, 1):
            bytes_wrong += check.check_bytes(row)
            links_wrong += check.check_link(row)
            if count % _STEP == 0:
                on_step(_STEP)
        chains.append(check.read())
    if are_all_there and not any(problem.problem != "altered" for problem in links_wrong):
        links_wrong += check_positions(connection)
    return chains, bytes_wrong, links_wrong


def check_positions(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Find gaps in the order of acceptance, whose positions count from 1.

    Use this only if the chains' own numbers show nothing. If the end of one chain was cut off and
    another chain went on, only positions show it.
    """
    expected = 1
    query = "select position, chain, seq from event order by position"
    for position, chain, seq in connection.execute(query):
        if position != expected:
            what = f"number {readable(position)} in the ledger's order, right after {expected - 1}"
            yield Problem(readable(chain), seq if type(seq) is int else None, "gap", what)
        expected = (position if type(position) is int else expected) + 1


class ChainCheck:
    """The check of one chain, row by row."""

    def __init__(self, chain: Any) -> None:
        self.chain = readable(chain)
        self._hashes: list[bytes] = []
        self._clock_back: list[int] = []
        self._seq = 0
        self._position = 0
        self._hash = BEGINNING
        self._recorded = ""
        self._clock = ""

    def read(self) -> ChainRead:
        """Return the chain as far as it was checked."""
        return ChainRead(self.chain, b"".join(self._hashes), self._seq, self._clock_back, {})

    def check_bytes(self, row: RawEvent) -> Iterator[Problem]:
        """(1) Check the hash of the stored bytes."""
        if _is_unreadable(row):
            what = f"the row at position {row.position!r} has no sequence number or no text"
            yield Problem(self.chain, None, "altered", what)
            return
        hashed = leaf_hash(raw_bytes(row.body))
        self._hashes.append(hashed)
        if hashed != row.hash:
            yield self._problem(row.seq, "altered", "its bytes do not give its hash")

    def check_link(self, row: RawEvent) -> Iterator[Problem]:
        """(2) Check number, order, the columns that copy its bytes, and the link back."""
        if _is_unreadable(row):
            return
        yield from self._sequence(row)
        yield from self._columns(row)
        if row.seq == self._seq + 1 and row.prev != self._hash:
            what = "the next event names another hash for it"
            where = (self._seq, "altered", what) if self._seq else (row.seq, "altered", _FIRST)
            yield self._problem(*where)
        if isinstance(row.recorded, str):
            if row.recorded < self._recorded:
                self._clock_back.append(row.seq)
            self._recorded = row.recorded
        # Keep the stored value: one altered event must not make later ones look altered.
        self._clock = row.clock if isinstance(row.clock, str) else self._clock
        self._seq, self._position, self._hash = row.seq, row.position, row.hash

    def _sequence(self, row: RawEvent) -> Iterator[Problem]:
        first, last = self._seq + 1, row.seq - 1
        if row.seq == self._seq:
            yield self._problem(row.seq, "fork", "two events have this number")
        elif row.seq < first:
            yield self._problem(row.seq, "altered", "no event can have this number")
        elif last >= first:
            missing = f"{first}" if first == last else f"{first} to {last}"
            yield self._problem(first, "gap", f"missing: {missing}")
        if row.position < self._position:
            yield self._problem(
                row.seq, "reordered", "it was accepted before the event that it follows"
            )

    def _columns(self, row: RawEvent) -> Iterator[Problem]:
        if not isinstance(row.body, str):
            yield self._problem(row.seq, "altered", "its bytes are not stored as text")
        try:
            event = parse_event(raw_bytes(row.body))
        except InputError as error:
            yield self._problem(row.seq, "altered", f"its bytes are not an event: {error.message}")
            return
        columns: dict[str, Any] = {name: getattr(event, name) for name in SAME}
        subject = event.data.get(subject_key(event.kind, event.at is not None))
        columns |= {"prev": event.prev, "ref": event.data.get("ref"), "subject": subject}
        columns["clock"] = self._due_clock(row, event)
        for name, value in columns.items():
            if getattr(row, name) != value:
                what = f"the column {name} does not match its bytes"
                yield self._problem(row.seq, "altered", what)

    def _due_clock(self, row: RawEvent, event: Event) -> str:
        """Return the latest `recorded` so far. After a gap, the missing events may be later."""
        due: str = max(self._clock, event.recorded)
        is_gap = row.seq > self._seq + 1 and isinstance(row.clock, str)
        return max(due, row.clock) if is_gap else due

    def _problem(self, seq: int, problem: str, detail: str) -> Problem:
        return Problem(self.chain, seq, problem, detail)


def subject_key(kind: str, is_statement: bool) -> str:
    """Return the key of `data` that the column `subject` copies, or "" if there is none."""
    return _SUBJECT.get(kind, "case" if is_statement else "")


def _is_unreadable(row: RawEvent) -> bool:
    numbers = type(row.seq) is int and type(row.position) is int
    return not numbers or not isinstance(row.body, str | bytes)
