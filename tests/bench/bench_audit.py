"""The audit of a million events beside plain SHA-256 over the same bytes in memory.

    python -m tests.bench.bench_audit [FOLDER] [EVENTS]

Goal: bytes, links and tree at no less than 0.25 of the bare hashlib loop. Both run in one process;
the whole audit, where a second process proves half of the rows, is printed beside them.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from hashlib import sha256
from pathlib import Path
from time import perf_counter

from ledger.audit.audit import audit_file
from ledger.audit.quick import join_runs, prove_links
from ledger.audit.rows import count_events, open_to_read
from ledger.audit.tree import Tree
from ledger.chain.hashing import BEGINNING
from tests.bench.big_season import MILLION, big_store

ROUNDS = 3
GOAL = 0.25


def bare_seconds(path: Path) -> float:
    """The best time of hashing every event's bytes, read beforehand, in one plain loop."""
    connection = sqlite3.connect(path)
    query = "select cast(body as blob) from event order by position"
    bodies = [body for (body,) in connection.execute(query)]
    connection.close()
    best = float("inf")
    for _ in range(ROUNDS):
        begin = perf_counter()
        for body in bodies:
            sha256(b"\x00" + body).digest()
        best = min(best, perf_counter() - begin)
    return best


def chain_seconds(path: Path) -> float:
    """The best time of bytes to hashes, links and the Merkle root, read from the file."""
    best = float("inf")
    with open_to_read(path) as connection:
        count = count_events(connection)
        for _ in range(ROUNDS):
            begin = perf_counter()
            runs = prove_links(connection, 1, count)
            assert runs is not None
            for chain in join_runs([runs], BEGINNING) or ():
                Tree(chain.hashes, chain.blocks).root(chain.last_seq)
            best = min(best, perf_counter() - begin)
            assert sum(run.next_seq - 1 for run in runs) == count
    return best


def audit_seconds(path: Path) -> tuple[float, int]:
    """The best time of the whole audit, and how many events it checked."""
    best, events = float("inf"), 0
    for _ in range(ROUNDS):
        begin = perf_counter()
        report = audit_file(path)
        best = min(best, perf_counter() - begin)
        assert report.ok, report.problems[:3]
        events = report.events
    return best, events


def main(folder: Path, events: int) -> None:
    path = big_store(folder, events)
    bare = bare_seconds(path)
    chain = chain_seconds(path)
    whole, checked = audit_seconds(path)
    print(f"bare hashlib loop over {checked:,} events in memory: {bare:.2f} s")
    print(f"bytes, links and tree from the file:              {chain:.2f} s")
    print(f"the whole audit, seven steps:                     {whole:.2f} s")
    print(f"bytes, links and tree at {bare / chain:.2f} of the bare loop (goal {GOAL})")


if __name__ == "__main__":
    size = int(sys.argv[2]) if len(sys.argv) > 2 else MILLION
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]), size)
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made), size)
