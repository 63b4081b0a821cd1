"""Appending statements durably, beside the bare driver and two general libraries.

    python -m tests.bench.bench_append      (needs: pip install 'weighbook[bench]')

One transaction an event, and 1,000 a transaction. Everybody writes to SQLite in WAL mode with
synchronous=FULL (pymerkle to a journal, as it does by itself). The bare driver gets rows that were
made beforehand, for the same table with the same indexes; ours starts from the statement.
`eventsourcing` runs the command of its tutorial (part 1), an aggregate a child: fetch it, change
it, save it. "… in hand" keeps the aggregates in memory and never reads them again, which goes well
while no other program writes; ours reads the end of the chain under the lock. A thousand a
transaction is measured in hand only, since fetching replays all that a child has. Its events have
one index, a weigh is entered in three. Turns are taken round by round and everybody begins one,
since other work on the machine comes and goes; medians are printed. pymerkle is GPL: a peer of this
bench, no part of what is installed. Goals, one event a transaction: 0.8 of the bare driver, 1.5
times `eventsourcing`.
"""

from __future__ import annotations

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
from ledger.store.sqlite.file import make_file, open_file
from ledger.store.store import Head, Row, make_rows

AT = "2026-09-05T13:41:22.000Z"
ROUNDS = 24
CHILDREN = 1200
INSERT = (
    f"insert into event ({', '.join(Row._fields)}) values ({', '.join('?' * len(Row._fields))})"
)
NAMES = ("weighbook", "bare sqlite3", "eventsourcing", "… in hand", "pymerkle")
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
            player=f"p{n % CHILDREN}",
        )
        for n in range(count)
    ]


class Child(Aggregate):
    """An aggregate that remembers how many statements there are about it."""

    def __init__(self) -> None:
        self.count = 0

    @event("Stated")
    def state(self, said: dict[str, Any]) -> None:
        self.count += 1


def ours(folder: Path) -> Write:
    path = folder / "ours.weighbook"
    with make_file(path) as store, store.writing() as writing:
        writing.append([Accepted("chain_key", {})], chain="office")
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


def eventsourced(folder: Path, *, in_hand: bool = False) -> Write:
    name = f"eventsourcing-{in_hand}.db"
    settings = {"PERSISTENCE_MODULE": "eventsourcing.sqlite", "SQLITE_DBNAME": str(folder / name)}
    application: Application[Any] = Application(env=settings)
    children = {f"p{n}": Child() for n in range(CHILDREN)}
    application.save(*children.values())

    def write(batch: list[dict[str, Any]]) -> None:
        changed = []
        for said in batch:
            child = children[said["player"]]
            if not in_hand:
                child = application.repository.get(child.id)
            child.state(said)
            changed.append(child)
        application.save(*changed)

    return write


def eventsourced_in_hand(folder: Path) -> Write:
    return eventsourced(folder, in_hand=True)


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
            "… in hand": (eventsourced_in_hand, said),
            "pymerkle": (merkle, data),
        }
        if size > 1:
            del contestants["eventsourcing"]
        writers = {name: (make(Path(made)), all_of) for name, (make, all_of) in contestants.items()}
        for number in range(ROUNDS):
            order = list(writers)[number % len(writers) :] + list(writers)[: number % len(writers)]
            for name in order:
                write, all_of = writers[name]
                own = all_of[number * turn : (number + 1) * turn]
                found.setdefault(name, []).append(seconds(write, own, size))
    return found


def main() -> None:
    for size, turn in ((1, 300), (1000, 10_000)):
        found = compare(size, turn)
        print(f"{size:,} event{'s' * (size > 1)} a transaction, {turn * ROUNDS:,} events each:")
        for name, times in sorted(found.items(), key=lambda one: NAMES.index(one[0])):
            ratio = median(
                other / own for own, other in zip(found["weighbook"], times, strict=True)
            )
            beside = "" if name == "weighbook" else f"   weighbook at {ratio:.2f} of it"
            print(f"  {name:14} {turn / median(times):9,.0f} a second{beside}")
    print("goals, one event a transaction: 0.80 of bare sqlite3, 1.50 of eventsourcing")


if __name__ == "__main__":
    main()
