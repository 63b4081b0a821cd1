"""Appending, one durable transaction an event and a thousand a transaction, beside peers.

    python -m tests.bench.bench_append [EVENTS]

Peers: the bare sqlite3 driver inserting prepared rows into the same table with the same indexes
and durability (WAL, synchronous=FULL); `eventsourcing`; `pymerkle` (GPL: for this bench alone, no
part of what is installed). Goals: 0.8 of the bare driver, 1.5 times eventsourcing.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from collections.abc import Callable
from itertools import count
from pathlib import Path
from time import perf_counter
from uuid import uuid4

from eventsourcing.persistence import StoredEvent
from eventsourcing.sqlite import SQLiteApplicationRecorder, SQLiteDatastore
from pymerkle import SqliteTree

from ledger.record.accepted import Accepted
from ledger.store.sqlite import SqliteStore, make_file
from ledger.store.store import Head, make_rows
from ledger.store.tables import schema

AT = "2026-09-05T13:41:22.000Z"
ROUNDS = 3
BATCH = 1000


def body(number: int) -> Accepted:
    """A weigh, as the field makes them."""
    return Accepted(
        "weigh", {"number": number % 99, "value": "ok"}, at=AT, entered=AT, by="wm-1",
        game=f"g{number // 250}", team="t1", player=f"p{number % 50}",
    )  # fmt: skip


def ours(store: SqliteStore, events: int, batch: int) -> None:
    for begin in range(0, events, batch):
        with store.writing() as writing:
            writing.append([body(begin + n) for n in range(batch)], chain="office")


def raw(path: Path, events: int, batch: int) -> float:
    """Seconds of the bare driver; the rows are made beforehand."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("pragma journal_mode = wal")
    connection.execute("pragma synchronous = full")
    for statement in schema():
        connection.execute(statement)
    made, _, _ = make_rows([body(n) for n in range(events)], chain="office", head=Head(),
                           recorded=AT)  # fmt: skip
    names = list(made[0].__dataclass_fields__)
    marks = ", ".join("?" * len(names))
    insert = f"insert into event ({', '.join(names)}) values ({marks})"
    rows = [tuple(getattr(row, name) for name in names) for row in made]
    begin = perf_counter()
    for first in range(0, events, batch):
        connection.execute("begin immediate")
        connection.executemany(insert, rows[first : first + batch])
        connection.execute("commit")
    seconds = perf_counter() - begin
    connection.close()
    return seconds


def eventsourcing(path: Path, events: int, batch: int) -> float:
    recorder = SQLiteApplicationRecorder(SQLiteDatastore(str(path)))
    recorder.create_table()
    origin, state, versions = uuid4(), b"x" * 400, count(1)
    begin = perf_counter()
    for _ in range(0, events, batch):
        stored = [StoredEvent(origin, next(versions), "weigh", state) for _ in range(batch)]
        recorder.insert_events(stored)
    return perf_counter() - begin


def pymerkle(path: Path, events: int) -> float:
    with SqliteTree(str(path)) as tree:
        begin = perf_counter()
        for _ in range(events):
            tree.append_entry(b"x" * 400)
        return perf_counter() - begin


def best(work: Callable[[Path], float]) -> float:
    """The best of several rounds, each on a new file."""
    seconds = []
    for number in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            seconds.append(work(Path(folder) / f"{number}.db"))
    return min(seconds)


def timed_ours(path: Path, events: int, batch: int) -> float:
    with make_file(path) as store:
        begin = perf_counter()
        ours(store, events, batch)
        return perf_counter() - begin


def main(events: int) -> None:
    for batch in (1, BATCH):
        size = events if batch == 1 else max(events * 10, BATCH)
        us = size / best(lambda path, size=size, batch=batch: timed_ours(path, size, batch))
        print(f"{batch} a transaction: weighbook {us:,.0f} events a second")
        bare = size / best(lambda path, size=size, batch=batch: raw(path, size, batch))
        print(f"  bare sqlite3 {bare:,.0f}; ours at {us / bare:.2f} (goal 0.8, one a transaction)")
        other = size / best(lambda path, size=size, batch=batch: eventsourcing(path, size, batch))
        print(f"  eventsourcing {other:,.0f}; ours at {us / other:.2f} (goal 1.5)")
        if batch == 1:
            tree = size / best(lambda path, size=size: pymerkle(path, size))
            print(f"  pymerkle {tree:,.0f}; ours at {us / tree:.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
