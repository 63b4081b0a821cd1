"""Steps 1 and 2, row by row: every event's bytes, links, sequence, order and columns.

This says what is wrong and where. Where nothing is, `ledger.audit.quick` finds that out first, in
a third of the time; a test holds the two against each other.
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

_SUBJECT = {"appoint": "value", "trained": "value", "assign": "value", "withdraw": "target",
            "division": "division", "official": "official", "official_key": "official",
            "key_revoked": "official"}  # fmt: skip
_STEP = 1000


class ChainRead(NamedTuple):
    """A chain as read: recomputed hashes in order, its last number, and where its clock went back.

    `blocks` are Merkle roots that were computed on the way (see `ledger.audit.tree`).
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
    """Every chain, the problems of step 1, and those of step 2.

    Unless `are_all_there`, events lie where the file cannot be read: no position is missed.
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
    """Positions count the order of acceptance from 1: a missing one is an event of some chain.

    Only worth asking where sequence numbers show nothing: the end of one chain, cut away, leaves
    this trace if another chain went on.
    """
    expected = 1
    for position, chain, seq in connection.execute(
        "select position, chain, seq from event order by position"
    ):
        if position != expected:
            what = f"accepted as number {readable(position)} of the ledger, after {expected - 1}"
            yield Problem(readable(chain), seq if type(seq) is int else None, "gap", what)
        expected = (position if type(position) is int else expected) + 1


class ChainCheck:
    """Follows one chain row by row."""

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
        """The chain, as far as it was followed."""
        return ChainRead(self.chain, b"".join(self._hashes), self._seq, self._clock_back, {})

    def check_bytes(self, row: RawEvent) -> Iterator[Problem]:
        """(1) The hash of the stored bytes."""
        if _is_unreadable(row):
            what = f"the row at position {row.position!r} holds no sequence number or no text"
            yield Problem(self.chain, None, "altered", what)
            return
        hashed = leaf_hash(raw_bytes(row.body))
        self._hashes.append(hashed)
        if hashed != row.hash:
            yield self._problem(row.seq, "altered", "its bytes do not give its hash")

    def check_link(self, row: RawEvent) -> Iterator[Problem]:
        """(2) Number, order, the columns that copy its bytes, and the link to the event before."""
        if _is_unreadable(row):
            return
        yield from self._sequence(row)
        yield from self._columns(row)
        if row.seq == self._seq + 1 and row.prev != self._hash:
            what = "the event after it names another hash as the one before"
            where = (self._seq, "altered", what) if self._seq else (row.seq, "altered", _FIRST)
            yield self._problem(*where)
        if isinstance(row.recorded, str):
            if row.recorded < self._recorded:
                self._clock_back.append(row.seq)
            self._recorded = row.recorded
        # As it is stored: of one altered event, the events after it are not accused.
        self._clock = row.clock if isinstance(row.clock, str) else self._clock
        self._seq, self._position, self._hash = row.seq, row.position, row.hash

    def _sequence(self, row: RawEvent) -> Iterator[Problem]:
        first, last = self._seq + 1, row.seq - 1
        if row.seq == self._seq:
            yield self._problem(row.seq, "fork", "this sequence number stands twice")
        elif row.seq < first:
            yield self._problem(row.seq, "altered", "no event has such a number")
        elif last >= first:
            missing = f"{first}" if first == last else f"{first} to {last}"
            yield self._problem(first, "gap", f"missing: {missing}")
        if row.position < self._position:
            what = "it was accepted before the event that precedes it"
            yield self._problem(row.seq, "reordered", what)

    def _columns(self, row: RawEvent) -> Iterator[Problem]:
        if not isinstance(row.body, str):
            yield self._problem(row.seq, "altered", "its bytes are not stored as text")
        try:
            event = parse_event(raw_bytes(row.body))
        except InputError as error:
            what = f"its bytes are no event: {error.message}"
            yield self._problem(row.seq, "altered", what)
            return
        columns: dict[str, Any] = {name: getattr(event, name) for name in SAME}
        columns |= {"prev": event.prev, "ref": event.data.get("ref")}
        columns |= {"clock": self._due_clock(row, event)}
        columns |= {"subject": _subject(event)}
        for name, value in columns.items():
            if getattr(row, name) != value:
                what = f"the column {name} is not what its bytes say"
                yield self._problem(row.seq, "altered", what)

    def _due_clock(self, row: RawEvent, event: Event) -> str:
        """The latest `recorded` so far; what is missing before a gap may have been later."""
        due: str = max(self._clock, event.recorded)
        is_gap = row.seq > self._seq + 1 and isinstance(row.clock, str)
        return max(due, row.clock) if is_gap else due

    def _problem(self, seq: int, problem: str, detail: str) -> Problem:
        return Problem(self.chain, seq, problem, detail)


_FIRST = "the first event names an event before it"


def subject_key(kind: str, is_statement: bool) -> str:
    """The key of `data` that the column `subject` copies; "" where it copies none."""
    return _SUBJECT.get(kind, "case" if is_statement else "")


def _subject(event: Event) -> Any:
    return event.data.get(subject_key(event.kind, event.at is not None))


def _is_unreadable(row: RawEvent) -> bool:
    numbers = type(row.seq) is int and type(row.position) is int
    return not numbers or not isinstance(row.body, str | bytes)
