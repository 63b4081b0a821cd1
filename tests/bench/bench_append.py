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
from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import partial
from itertools import count
from pathlib import Path
from statistics import median
from time import perf_counter
from uuid import uuid4

from eventsourcing.persistence import StoredEvent
from eventsourcing.sqlite import SQLiteApplicationRecorder, SQLiteDatastore
from pymerkle import SqliteTree

from ledger.record.accepted import Accepted
from ledger.store.sqlite import SqliteStore, make_file
from ledger.store.store import Head, Row, make_rows
from ledger.store.tables import schema

AT = "2026-09-05T13:41:22.000Z"
ROUNDS = 7
BATCH = 1000
GOALS = {"bare sqlite3": 0.8, "eventsourcing": 1.5}
"""For one durable transaction an event."""


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
    names = [field.name for field in fields(Row)]
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


def rates(works: Mapping[str, Callable[[Path], float]], size: int) -> dict[str, float]:
    """Events a second of each, the median round; all take turns, so that a slow disk hits all."""
    seconds: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(ROUNDS):
        for name, work in works.items():
            with tempfile.TemporaryDirectory() as folder:
                seconds[name].append(work(Path(folder) / "bench.db"))
    return {name: size / median(taken) for name, taken in seconds.items()}


def timed_ours(path: Path, events: int, batch: int) -> float:
    with make_file(path) as store:
        begin = perf_counter()
        ours(store, events, batch)
        return perf_counter() - begin


def main(events: int) -> None:
    for batch in (1, BATCH):
        size = events if batch == 1 else max(events * 10, BATCH)
        works: dict[str, Callable[[Path], float]] = {
            "weighbook": partial(timed_ours, events=size, batch=batch),
            "bare sqlite3": partial(raw, events=size, batch=batch),
            "eventsourcing": partial(eventsourcing, events=size, batch=batch),
        }
        if batch == 1:
            works["pymerkle"] = partial(pymerkle, events=size)
        rate = rates(works, size)
        us = rate.pop("weighbook")
        print(f"{batch:,} a transaction: weighbook {us:,.0f} events a second")
        for name, other in rate.items():
            goal = f" (goal {GOALS[name]})" if batch == 1 and name in GOALS else ""
            print(f"  {name} {other:,.0f}; ours at {us / other:.2f}{goal}")
        bare = rate["bare sqlite3"] / rate["eventsourcing"]
        print(f"  the bare driver with our table and indexes is at {bare:.2f} of eventsourcing")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
