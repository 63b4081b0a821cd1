"""Appending statements durably, beside the bare driver and two general libraries.

    python -m tests.bench.bench_append      (needs: pip install 'weighbook[bench]')

One transaction an event, and 1,000 a transaction. Everybody writes to SQLite in WAL mode with
synchronous=FULL (pymerkle to a journal, as it does by itself). The bare driver gets rows that were
made beforehand, for the same table with the same indexes; ours starts from the statement.
`eventsourcing` saves an aggregate, as its users do; its events have one index, a weigh is entered
in three. Turns are taken round by round and everybody begins one, since other work on the machine
comes and goes; medians are printed. pymerkle is GPL: a peer of this bench, no part of what is
installed. Goals: 0.8 of the bare driver; one event a transaction, 1.5 times `eventsourcing`.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from eventsourcing.application import Application
from eventsourcing.domain import Aggregate, event
from pymerkle import SqliteTree

from ledger.record.accepted import Accepted
from ledger.store.sqlite_file import make_file, open_file
from ledger.store.store import Head, Row, make_rows

AT = "2026-09-05T13:41:22.000Z"
ROUNDS = 12
INSERT = (
    f"insert into event ({', '.join(Row._fields)}) values ({', '.join('?' * len(Row._fields))})"
)
Batch = list[Accepted]
Write = Callable[[Sequence[Any]], None]


def statements(count: int) -> Batch:
    """So many weighs, as a season folder's lines would be."""
    return [
        Accepted(
            "weigh",
            {"number": n % 100, "value": "ok", "source": {"file": "days/01.csv", "record": n}},
            at=AT,
            entered=AT,
            by=f"off-{n % 9}",
            game=f"g{n // 300}",
            team=f"t{n % 40}",
            player=f"p{n % 1200}",
        )
        for n in range(count)
    ]


class Season(Aggregate):
    """An aggregate that remembers how many statements it took."""

    def __init__(self) -> None:
        self.count = 0

    @event("Stated")
    def state(self, said: dict[str, Any]) -> None:
        self.count += 1


def ours(folder: Path) -> Write:
    path = folder / "ours.weighbook"
    with make_file(path):
        pass
    store = open_file(path)

    def write(batch: Batch) -> None:
        with store.writing() as writing:
            writing.append(batch, chain="office")

    return write


def bare(folder: Path) -> Write:
    path = folder / "bare.weighbook"
    with make_file(path):
        pass
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("pragma synchronous = full")

    def write(batch: list[Row]) -> None:
        connection.execute("begin immediate")
        connection.executemany(INSERT, batch)
        connection.execute("commit")

    return write


def eventsourced(folder: Path) -> Write:
    os.environ["PERSISTENCE_MODULE"] = "eventsourcing.sqlite"
    os.environ["SQLITE_DBNAME"] = str(folder / "eventsourcing.db")
    application: Application[Any] = Application()
    season = Season()
    application.save(season)

    def write(batch: list[dict[str, Any]]) -> None:
        for said in batch:
            season.state(said)
        application.save(season)

    return write


def merkle(folder: Path) -> Write:
    tree = SqliteTree(str(folder / "pymerkle.db"))

    def write(batch: list[bytes]) -> None:
        if len(batch) == 1:
            tree.append_entry(batch[0])
        else:
            tree.append_entries(batch)

    return write


def seconds(write: Write, turn: Sequence[Any], size: int) -> float:
    """How long the turn takes, in transactions of that size."""
    begin = perf_counter()
    for start in range(0, len(turn), size):
        write(turn[start : start + size])
    return perf_counter() - begin


def compare(size: int, turn: int) -> dict[str, list[float]]:
    """Seconds of each round, by name; each round is `turn` events."""
    bodies = statements(turn * ROUNDS)
    rows, _ = make_rows(bodies, chain="office", head=Head(), recorded=AT)
    said = [body.body for body in bodies]
    data = [row.body.encode() for row in rows]
    found: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as made:
        contestants = {
            "weighbook": (ours, bodies),
            "bare sqlite3": (bare, rows),
            "eventsourcing": (eventsourced, said),
            "pymerkle": (merkle, data),
        }
        writers = {name: (make(Path(made)), all_of) for name, (make, all_of) in contestants.items()}
        for number in range(ROUNDS):
            order = list(writers)[number % len(writers) :] + list(writers)[: number % len(writers)]
            for name in order:
                write, all_of = writers[name]
                own = all_of[number * turn : (number + 1) * turn]
                found.setdefault(name, []).append(seconds(write, own, size))
    return found


def main() -> None:
    for size, turn in ((1, 300), (1000, 20_000)):
        found = compare(size, turn)
        print(f"{size:,} event{'s' * (size > 1)} a transaction, {turn * ROUNDS:,} events each:")
        for name in ("weighbook", "bare sqlite3", "eventsourcing", "pymerkle"):
            times = found[name]
            ratio = median(
                other / own for own, other in zip(found["weighbook"], times, strict=True)
            )
            beside = "" if name == "weighbook" else f"   weighbook at {ratio:.2f} of it"
            print(f"  {name:14} {turn / median(times):9,.0f} a second{beside}")
    print("goals: 0.80 of bare sqlite3; one event a transaction, 1.50 of eventsourcing")


if __name__ == "__main__":
    main()
