"""One statement costs the same in week 12 as in week 1: what it costs, beside the goals.

    python -m tests.bench.bench_accept [FOLDER] [EVENTS]

The sample season beside a ledger of a million events (`big_season`), each a copy of its own:

1. `weighbook record` as a whole command, start-up and echo included, the best of several; ratio.
2. How long the lock is held, from `begin immediate` to the end of the commit, by a command that has
   read nothing before: the median and the longest, and how much of it is ours, before the commit.
3. One durable statement by a process that keeps its snapshot warm, and by one that has only opened
   the ledger: each as a ratio to our append without an acceptance, made in the same moments, since
   other work comes and goes; a row of the bare driver beside them.
4. Sixteen processes with fifty statements each about one game: acknowledged, there, in a minute.
"""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from statistics import median
from time import perf_counter

from ledger.record.accepted import accept_fields
from ledger.record.statements import KINDS, Statement
from ledger.record.times import now_utc
from ledger.store.opening import open_store
from ledger.store.recording import record_alone
from ledger.store.snapshot import Snapshot
from ledger.store.sqlite.store import SqliteStore
from ledger.store.sqlite.writing import SqliteWriting
from tests.bench.big_season import MILLION, big_store, sample_store
from tests.many_writers import write_at_once
from tests.tiny import load, write_folder

ROUNDS = 7
ALONE = 40
ONE_BY_ONE = 400
WRITERS, EACH = 16, 50
RATIO, LOCK_SECONDS, WARM, COLD, MINUTE = 1.3, 0.010, 1.5, 5, 60
WHO = {"game": "oak-7b", "team": "wombats", "number": 4, "by": "newts-wm1", "value": "ok"}


class Timed(SqliteWriting):
    """Keeps how long each transaction held the lock, in seconds, and how long before its commit."""

    def __init__(self, store: SqliteStore) -> None:
        super().__init__(store, store.connection, lambda line: None)
        self.held: list[float] = []
        self.ours: list[float] = []

    def __enter__(self) -> Timed:
        super().__enter__()
        self._begin_at = perf_counter()
        return self

    def __exit__(self, *how: object) -> None:
        self.ours.append(perf_counter() - self._begin_at)
        super().__exit__(*how)  # type: ignore[arg-type]
        self.held.append(perf_counter() - self._begin_at)


def weigh() -> Statement:
    now = now_utc()
    return KINDS["weigh"](at=now, entered=now, **WHO)


def command_seconds(ledger: Path) -> float:
    """How long `weighbook record weigh` takes."""
    options = [f"--{key}={value}" for key, value in WHO.items()]
    command = [sys.executable, "-m", "ledger.commands", "--store", str(ledger), "record", "weigh"]
    begin = perf_counter()
    done = subprocess.run([*command, *options], capture_output=True, text=True)
    seconds = perf_counter() - begin
    assert done.returncode == 0, done.stderr
    return seconds


def lock_seconds(ledger: Path) -> tuple[list[float], list[float]]:
    """How long each of several commands' statements held the lock, and how long before the commit;
    sorted.
    """
    held: list[float] = []
    ours: list[float] = []
    for _ in range(ALONE):
        with closing(open_store(ledger)) as store:
            store._writing = timed = Timed(store)
            record_alone(Snapshot(store), [weigh()], chain="office")
            held += timed.held
            ours += timed.ours
    return sorted(held), sorted(ours)


def one_statement(ledger: Path, beside: Path) -> tuple[float, float, float, float]:
    """Milliseconds of one durable statement, the median: by a process that keeps its snapshot warm,
    by one that has only opened the ledger, and, in the same moments, what the append alone takes
    and a row of the bare driver.
    """
    bare = sqlite3.connect(beside, isolation_level=None)
    bare.execute("pragma journal_mode = wal")
    bare.execute("pragma synchronous = full")
    bare.execute("create table row (number integer primary key, text text)")

    def cold() -> None:
        with closing(open_store(ledger)) as store:
            record_alone(Snapshot(store), [weigh()], chain="office")

    def append() -> None:
        with store.writing() as writing:
            writing.append([accept_fields(weigh())], chain="office")

    def row() -> None:
        bare.execute("begin immediate")
        bare.execute("insert into row (text) values (?)", ("x" * 500,))
        bare.execute("commit")

    with closing(open_store(ledger)) as store:
        snapshot = Snapshot(store)
        ways = (lambda: record_alone(snapshot, [weigh()], chain="office"), cold, append, row)
        times: list[list[float]] = [[] for _ in ways]
        for _ in range(ONE_BY_ONE):
            for way, taken in zip(ways, times, strict=True):
                begin = perf_counter()
                way()
                taken.append(perf_counter() - begin)
    bare.close()
    warm, opened, alone, driver = (median(each) * 1000 for each in times)
    return warm, opened, alone, driver


def told(what: str, found: str, goal: str, is_met: bool) -> None:
    print(f"{what:52} {found:34} goal {goal}: {'met' if is_met else 'NOT MET'}", flush=True)


def main(folder: Path, events: int) -> None:
    small, big = folder / "small-copy.weighbook", folder / "big-copy.weighbook"
    shutil.copy(sample_store(folder), small)
    shutil.copy(big_store(folder, events), big)
    times = [(command_seconds(small), command_seconds(big)) for _ in range(ROUNDS)]
    one, other = (min(each) for each in zip(*times, strict=True))
    ratio = other / one
    found = f"{one:.2f} s and {other:.2f} s, ratio {ratio:.2f}"
    told(f"record, sample season and {events:,} events", found, f"{RATIO}", ratio <= RATIO)
    held, ours = lock_seconds(big)
    middle = median(held)
    found = f"{middle * 1000:.1f} ms, longest {held[-1] * 1000:.1f}, ours {median(ours) * 1000:.2f}"
    told("lock held", found, f"{LOCK_SECONDS * 1000:.0f} ms", middle <= LOCK_SECONDS)
    warm, cold, alone, bare = one_statement(big, folder / "bare-copy.db")
    found = f"{warm:.2f} ms, {warm / alone:.2f} appends (a bare row {bare / alone:.2f})"
    told("one statement, warm", found, f"{WARM}", warm <= WARM * alone)
    found = f"{cold:.2f} ms, {cold / alone:.2f} appends"
    told("one statement, cold: open, ask by index, close", found, f"{COLD}", cold <= COLD * alone)
    tiny = folder / "tiny-copy.weighbook"
    load(tiny, write_folder(folder / "tiny-copy"))
    said, took = write_at_once(tiny, WRITERS, EACH, seconds=10 * MINUTE)
    with closing(open_store(tiny)) as store:
        there = {stored.event.data.get("ref"): stored.id for stored in store.events()}
    is_whole = (
        all(
            there[f"{who}-{n}"] == event_id
            for who, ids in said.items()
            for n, event_id in enumerate(ids)
        )
        and sum(map(len, said.values())) == WRITERS * EACH
    )
    found = f"{took:.1f} s, {'all' if is_whole else 'NOT ALL'} there"
    what = f"{WRITERS} processes, {EACH} statements each"
    told(what, found, f"{MINUTE} s", is_whole and took <= MINUTE)
    for path in folder.glob("*-copy*"):
        shutil.rmtree(path) if path.is_dir() else path.unlink()


if __name__ == "__main__":
    wanted = int(sys.argv[2]) if len(sys.argv) > 2 else MILLION
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]), wanted)
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made), wanted)
