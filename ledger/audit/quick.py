"""Steps 1 and 2, the quick way: prove that nothing is wrong in a range of rows.

It checks whole columns of a few rows at a time. They stay in the processor's cache, which halves
the time. The first doubt ends the proof; then `ledger.audit.links` looks at every row to explain
it. A false doubt is fine here (an event with a null, for example), but nothing may slip through.
Each check is as strict as its pair there, and a test compares the two.

Bytes, hashes and links are one pass, columns another (`ledger.audit.agree`). The first needs four
columns of fifteen, and fetching them takes most of its time.
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
    """Consecutive events of one chain, proved except for the link to the event before them.

    `prev` is the hash that the first one (number `seq`) names. `hashes` are joined, 32 bytes each:
    many small objects would push the next rows out of the cache.
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
    """Return the runs in the rows at positions `first` to `last`, or None if in doubt.

    `join_runs` checks the link of each run's first event.
    """
    try:
        runs = prove_links(connection, first, last)
        clocks = None if runs is None else prove_columns(connection, first, last, on_step)
    except sqlite3.Error:  # text that is not UTF-8, or damage: the look at each row meets it too
        return None
    if runs is None or clocks is None:
        return None
    for run in runs:
        run.clock = clocks[run.chain]
    return runs if all(run.seq == run.clock.seq for run in runs) else None


def prove_links(connection: sqlite3.Connection, first: int, last: int) -> list[Run] | None:
    """Return the runs if bytes, hashes, links and roots are right, else None.

    The pass over the columns checks that no position or number is missing.
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
    """Return an empty run that begins before the event at this position."""
    query = "select chain, seq, prev from event where position = ?"
    row = connection.execute(query, (position,)).fetchone()
    return Run(*row) if row and [*map(type, row)] == [str, int, bytes] else None


def _extend(run: Run, rows: Sequence[Any]) -> bool:
    """Add these rows to the run; return whether they continue it."""
    _, prevs, hashes, bodies = zip(*rows, strict=True)
    # leaf_hash inline: a call for each event costs too much.
    hashed = tuple([sha256(b"\x00" + body).digest() for body in bodies])
    is_right = hashes == hashed and prevs == (run.head, *hashed[:-1])
    run.hashes += b"".join(hashed)
    return is_right


def join_runs(parts: Iterable[Sequence[Run]], beginning: bytes) -> list[ChainRead] | None:
    """Join the parts, one after the other, to chains; return None if they do not fit."""
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
    """Whether each run's column `clock` continues the run before it."""
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
