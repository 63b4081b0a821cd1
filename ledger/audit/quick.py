"""Steps 1 and 2, quickly: prove that a range of rows has nothing that wants explaining.

Rows are looked at a handful at a time, and by whole columns rather than one by one: few enough
to stay in the processor's cache, which halves the time. The first thing that is not as it must
be ends the proof, and `ledger.audit.links` looks at every row to say what it is. So a doubt may
be raised here for nothing (an event with a null in it, say), but nothing may slip through: each
test here is as strict as its pair there, and a test holds the two against each other.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ledger.audit.agree import bytes_agree, have_type
from ledger.audit.links import ChainRead
from ledger.audit.rows import RawEvent
from ledger.audit.tree import block_roots
from ledger.chain.hashing import HASH_BYTES, leaf_hash

_ROWS = 64


@dataclass
class Run:
    """Consecutive events of one chain, proved but for what lies before them.

    `prev` is what the first one (number `seq`) names; `hashes` are joined, 32 bytes each: kept
    one by one, small objects would push the next rows out of the cache.
    """

    chain: str
    seq: int
    prev: bytes
    first_recorded: str
    last_recorded: str
    clock_back: list[int] = field(default_factory=list)
    hashes: bytearray = field(default_factory=bytearray)
    blocks: dict[int, bytes] = field(default_factory=dict)

    @property
    def next_seq(self) -> int:
        return self.seq + len(self.hashes) // HASH_BYTES

    @property
    def head(self) -> bytes:
        return bytes(self.hashes[-HASH_BYTES:]) or self.prev

    def extend(self, hashes: Sequence[bytes], recorded: Sequence[str]) -> None:
        """Take these events, which were proved to follow."""
        times = [self.last_recorded, *recorded]
        if times != sorted(times):
            self.clock_back += [
                self.next_seq + index
                for index, (one, other) in enumerate(pairwise(times))
                if other < one
            ]
        self.hashes += b"".join(hashes)
        self.last_recorded = recorded[-1]


def prove_rows(
    connection: sqlite3.Connection, first: int, last: int, on_step: Callable[[int], object]
) -> list[Run] | None:
    """The runs in the rows at positions `first` to `last`, or None where something is not right.

    The rows are proved among themselves; what a run's first event names is for `join_runs`.
    """
    columns = ", ".join(RawEvent._fields)
    query = f"select {columns} from event where position between ? and ? order by position"  # noqa: S608 - our names
    runs: dict[str, Run] = {}
    position = first
    try:
        cursor = connection.execute(query, (first, last))
        while rows := cursor.fetchmany(_ROWS):
            if not _prove(rows, position, runs):
                return None
            position += len(rows)
            on_step(len(rows))
    except sqlite3.Error:  # text that is not UTF-8, or damage, which reading row by row will meet
        return None
    for run in runs.values():
        run.blocks = block_roots(run.hashes, run.seq - 1)
    return list(runs.values()) if position == last + 1 else None


def _prove(rows: list[Any], position: int, runs: dict[str, Run]) -> bool:
    places = [row[0] for row in rows]
    if places != list(range(position, position + len(rows))) or not have_type(places, int):
        return False
    chains = {row[1] for row in rows}
    if len(chains) == 1:
        return _extend(runs, rows)
    return all(_extend(runs, [row for row in rows if row[1] == chain]) for chain in chains)


def _extend(runs: dict[str, Run], rows: list[Any]) -> bool:
    """Whether these rows carry on the run of their chain, which then is longer."""
    cells = RawEvent._make(zip(*rows, strict=True))
    chain = cells.chain[0]
    if not (
        isinstance(chain, str)
        and have_type(cells.seq, int)
        and have_type(cells.prev, bytes)
        and have_type(cells.body, str)
    ):
        return False
    run = runs.get(chain) or Run(
        chain, cells.seq[0], cells.prev[0], cells.recorded[0], cells.recorded[0]
    )
    data = [body.encode() for body in cells.body]
    hashes = list(map(leaf_hash, data))
    whole = (
        cells.hash == tuple(hashes)
        and cells.prev == (run.head, *hashes[:-1])
        and cells.seq == tuple(range(run.next_seq, run.next_seq + len(rows)))
        and bytes_agree(cells, data)
    )
    if whole:
        run.extend(hashes, cells.recorded)
        runs[chain] = run
    return whole


def join_runs(parts: Iterable[Sequence[Run]], beginning: bytes) -> list[ChainRead] | None:
    """The chains that these parts make, one after the other; None where they do not fit."""
    chains: dict[str, list[Run]] = {}
    for part in parts:
        for run in part:
            before = chains.setdefault(run.chain, [])
            seq, head = (before[-1].next_seq, before[-1].head) if before else (1, beginning)
            if (run.seq, run.prev) != (seq, head):
                return None
            before.append(run)
    return [_join(chain, runs) for chain, runs in sorted(chains.items())]


def _join(chain: str, runs: Sequence[Run]) -> ChainRead:
    blocks: dict[int, bytes] = {}
    clock_back: list[int] = []
    last = ""
    for run in runs:
        clock_back += [run.seq] * (run.first_recorded < last) + run.clock_back
        last = run.last_recorded
        blocks |= run.blocks
    hashes = b"".join(run.hashes for run in runs)
    return ChainRead(chain, hashes, len(hashes) // HASH_BYTES, clock_back, blocks)
