"""Steps 1 and 2, quickly: prove that a range of rows has nothing that wants explaining.

Rows are looked at a handful at a time, and by whole columns rather than one by one: few enough
to stay in the processor's cache, which halves the time. The first thing that is not as it must
be ends the proof, and `ledger.audit.links` looks at every row to say what it is. So a doubt may
be raised here for nothing (an event with a null in it, say), but nothing may slip through: each
test here is as strict as its pair there, and a test holds the two against each other.

Bytes, hashes and links are one reading, the columns another (`ledger.audit.agree`): the first
needs four columns of fifteen, and fetching them is most of its time.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from ledger.audit.agree import Clock, prove_columns
from ledger.audit.links import ChainRead
from ledger.audit.rows import fetch_few
from ledger.audit.tree import block_roots
from ledger.chain.hashing import HASH_BYTES

_LINKS = "chain, prev, hash, cast(ifnull(body, '') as blob)"


@dataclass
class Run:
    """Consecutive events of one chain, proved but for what lies before them.

    `prev` is what the first one (number `seq`) names; `hashes` are joined, 32 bytes each: kept
    one by one, small objects would push the next rows out of the cache.
    """

    chain: str
    seq: int
    prev: bytes
    clock: Clock = field(default_factory=Clock)
    hashes: bytearray = field(default_factory=bytearray)
    blocks: dict[int, bytes] = field(default_factory=dict)

    @property
    def next_seq(self) -> int:
        return self.seq + len(self.hashes) // HASH_BYTES

    @property
    def head(self) -> bytes:
        return bytes(self.hashes[-HASH_BYTES:]) or self.prev


def prove_rows(
    connection: sqlite3.Connection, first: int, last: int, on_step: Callable[[int], object]
) -> list[Run] | None:
    """The runs in the rows at positions `first` to `last`, or None where something is not right.

    The rows are proved among themselves; what a run's first event names is for `join_runs`.
    """
    try:
        runs = prove_links(connection, first, last)
        clocks = None if runs is None else prove_columns(connection, first, last, on_step)
    except sqlite3.Error:  # text that is not UTF-8, or damage, which reading row by row will meet
        return None
    if runs is None or clocks is None:
        return None
    for run in runs:
        run.clock = clocks[run.chain]
    return runs if all(run.seq == run.clock.seq for run in runs) else None


def prove_links(connection: sqlite3.Connection, first: int, last: int) -> list[Run] | None:
    """The runs as far as bytes, hashes, links and roots go, or None.

    That every position and number is there is left to the reading of the columns.
    """
    runs: dict[str, Run] = {}
    position = first
    for rows in fetch_few(connection, _LINKS, first, last):
        chains = {row[0] for row in rows}
        for chain in chains - runs.keys():
            index = next(index for index, row in enumerate(rows) if row[0] == chain)
            begun = _begin(connection, position + index)
            if begun is None:
                return None
            runs[chain] = begun
        for chain in chains:
            own = rows if len(chains) == 1 else [row for row in rows if row[0] == chain]
            if not _extend(runs[chain], own):
                return None
        position += len(rows)
    for run in runs.values():
        run.blocks = block_roots(run.hashes, run.seq - 1)
    return list(runs.values())


def _begin(connection: sqlite3.Connection, position: int) -> Run | None:
    """A run that begins with the event at this position, and has none yet."""
    query = "select chain, seq, prev from event where position = ?"
    row = connection.execute(query, (position,)).fetchone()
    return Run(*row) if row and [*map(type, row)] == [str, int, bytes] else None


def _extend(run: Run, rows: Sequence[Any]) -> bool:
    """Whether these rows carry on the run, which then is longer."""
    _, prevs, hashes, bodies = zip(*rows, strict=True)
    # leaf_hash, without a call an event.
    hashed = tuple([sha256(b"\x00" + body).digest() for body in bodies])
    is_right = hashes == hashed and prevs == (run.head, *hashed[:-1])
    run.hashes += b"".join(hashed)
    return is_right


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
    if not all(map(_has_right_clocks, chains.values())):
        return None
    return [_join(chain, runs) for chain, runs in sorted(chains.items())]


def _has_right_clocks(runs: Sequence[Run]) -> bool:
    """Whether each run's column `clock` goes on from the one before it."""
    latest = ""
    for run in runs:
        if run.clock.top != max(latest, run.clock.first):
            return False
        latest = run.clock.latest
    return True


def _join(chain: str, runs: Sequence[Run]) -> ChainRead:
    blocks: dict[int, bytes] = {}
    clock_back: list[int] = []
    last = ""
    for run in runs:
        clock_back += [run.seq] * (run.clock.first < last) + run.clock.back
        last = run.clock.last
        blocks |= run.blocks
    hashes = b"".join(run.hashes for run in runs)
    return ChainRead(chain, hashes, len(hashes) // HASH_BYTES, clock_back, blocks)
