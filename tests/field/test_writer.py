"""One thread writes: groups, each act by itself, answered after the commit, never half."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.actions.taps import DiffersError, Tap, Tapped, read_tap
from ledger.errors import FolderError, StoreError
from ledger.field.writer import MOST, Writer
from ledger.record.times import zone
from ledger.store import recording
from ledger.store.opening import open_store
from ledger.store.sqlite.writing import SqliteWriting
from ledger.store.store import Store
from tests.tiny import events_in, load, write_folder

CHICAGO = zone("America/Chicago")
UNLISTED = {"kind": "list", "by": "wa", "game": "g1", "team": "elm", "reason": "other",
            "player": "unlisted-g1-elm-77"}  # fmt: skip
WEIGH = {"kind": "weigh", "by": "wa", "game": "g1", "team": "elm", "number": "1", "value": "ok"}


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    path = tmp_path / "writer.weighbook"
    load(path, write_folder(tmp_path / "season"))
    return path


def tap(ref: str, **cells: str) -> Tap:
    return read_tap([WEIGH | {"at": "2026-09-05T08:40", "ref": ref} | cells], CHICAGO)


def run(ledger: Path, use: Callable[[Writer], Awaitable[Any]]) -> tuple[Any, int]:
    """What `use` returns with a running writer, and how many commits it made."""
    wrote: list[None] = []

    async def used() -> Any:
        writer = Writer(ledger, "office", lambda: wrote.append(None))
        writer.start()
        try:
            return await use(writer)
        finally:
            writer.stop()

    return asyncio.run(used()), len(wrote)


async def held_writer(writer: Writer) -> tuple[asyncio.Event, asyncio.Event, asyncio.Task[None]]:
    """The writer, busy from the first event on until the second is set."""
    held, release = asyncio.Event(), asyncio.Event()
    loop = asyncio.get_running_loop()

    def hold(store: Store) -> None:
        loop.call_soon_threadsafe(held.set)
        asyncio.run_coroutine_threadsafe(release.wait(), loop).result(10)

    return held, release, asyncio.create_task(writer.run_alone(hold))


async def all_at_once(writer: Writer, *taps: Tap) -> list[Tapped | BaseException]:
    """Record these while something else holds the writer: they wait, and go together."""
    held, release, holding = await held_writer(writer)
    await held.wait()
    waiting = [asyncio.create_task(writer.record(one)) for one in taps]
    await asyncio.sleep(0)
    release.set()
    await holding
    return await asyncio.gather(*waiting, return_exceptions=True)


def test_acts_that_wait_go_into_one_commit_in_their_order(ledger: Path) -> None:
    taps = [tap(f"r{n}") for n in range(10)]
    done, commits = run(ledger, lambda writer: all_at_once(writer, *taps))
    assert commits == 2  # what held the writer, and the group
    assert len({one.recorded for one in done}) == 1
    ids = [one.event_ids[0] for one in done]
    assert ids == [event.id for event in events_in(ledger) if event.kind == "weigh"]
    assert all(one.is_new for one in done)


def test_a_group_has_an_end(ledger: Path) -> None:
    taps = [tap(f"r{n}") for n in range(MOST + 1)]
    done, commits = run(ledger, lambda writer: all_at_once(writer, *taps))
    assert commits == 3
    assert len({one.event_ids for one in done}) == MOST + 1


def test_each_is_refused_by_itself_and_sees_those_before(ledger: Path) -> None:
    child = {"kind": "enter_player", "player": "n1", "name": "Bo Yarrow", "team": "elm",
             "number": "9", "by": "rg"}  # fmt: skip
    entered = read_tap([{**child, "at": "2026-09-05T08:00", "ref": "c1"}], CHICAGO)
    back = {"kind": "withdraw", "by": "wa", "reason": "wrong child", "at": "2026-09-05T08:41"}
    taps = [
        tap("r1", number="9"),  # not on the roster yet
        entered,
        tap("r2", number="9"),
        tap("r2", number="9"),  # the same again, before the first is committed
        tap("r2", value="over"),
        read_tap([{**back, "target": "r2", "ref": "r3"}], CHICAGO),
        read_tap([{**back, "target": "r1", "ref": "r4"}], CHICAGO),
        tap("r1"),  # its ref is free: the first was refused
        tap("r5", number="77", name="Al Fenwick"),
        read_tap([UNLISTED | {"at": "2026-09-05T08:41", "ref": "r6"}], CHICAGO),
    ]
    done, commits = run(ledger, lambda writer: all_at_once(writer, *taps))
    assert commits == 2
    early, child_in, weigh, again, differs, taken, unknown, late, guest, listed = done
    assert isinstance(early, FolderError)
    assert child_in.is_new
    assert weigh.event_ids == again.event_ids
    assert (weigh.is_new, again.is_new) == (True, False)
    assert isinstance(differs, DiffersError)
    assert differs.event_id == weigh.event_ids[0]
    assert isinstance(unknown, FolderError)
    assert late.is_new
    assert (guest.is_new, listed.is_new) == (True, True)
    events = {event.id: event for event in events_in(ledger)}
    assert events[weigh.event_ids[0]].player == "n1"
    assert events[taken.event_ids[0]].data["target"] == weigh.event_ids[0]
    assert events[listed.event_ids[0]].player == events[guest.event_ids[0]].player
    assert len([event for event in events.values() if event.at]) == 6


def test_a_failed_commit_is_told_to_all_and_leaves_nothing(
    ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = [event.id for event in events_in(ledger)]
    read_back, failures = SqliteWriting._read_back, [True]

    def fails_once(self: SqliteWriting) -> None:
        read_back(self)
        if failures:
            failures.pop()
            raise StoreError("the disk is full")

    monkeypatch.setattr(SqliteWriting, "_read_back", fails_once)

    async def twice(writer: Writer) -> Any:
        taps = [tap("r1"), tap("r2")]
        first = await all_at_once(writer, *taps)
        between = [event.id for event in events_in(ledger)]
        return first, between, [await writer.record(one) for one in taps]

    (first, between, second), _ = run(ledger, twice)
    assert [type(one) for one in first] == [StoreError, StoreError]
    assert between == before
    assert [one.is_new for one in second] == [True, True]
    assert len(events_in(ledger)) == len(before) + 2


def test_a_fault_in_one_act_does_not_take_the_others_along(
    ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    accept_next = recording.accept_next

    def faulty(known: Any, candidates: Any, *args: Any, **more: Any) -> Any:
        if candidates[0].statement.ref == "r2":
            raise KeyError("ours")
        return accept_next(known, candidates, *args, **more)

    monkeypatch.setattr("ledger.store.grouping.accept_next", faulty)
    taps = [tap("r1"), tap("r2"), tap("r3")]
    (one, two, three), _ = run(ledger, lambda writer: all_at_once(writer, *taps))
    assert isinstance(two, KeyError)
    assert (one.is_new, three.is_new) == (True, True)


def test_an_error_of_what_is_done_alone_is_raised_and_the_writer_goes_on(ledger: Path) -> None:
    def fails(store: Store) -> None:
        raise StoreError("no")

    async def use(writer: Writer) -> Tapped:
        with pytest.raises(StoreError):
            await writer.run_alone(fails)
        return await writer.record(tap("r1"))

    assert run(ledger, use)[0].is_new


def test_what_waits_is_recorded_before_the_writer_ends(ledger: Path) -> None:
    async def use(writer: Writer) -> list[Tapped]:
        held, release, holding = await held_writer(writer)
        await held.wait()
        waiting = [asyncio.create_task(writer.record(tap(f"r{n}"))) for n in range(2)]
        await asyncio.sleep(0)
        stopping = asyncio.create_task(asyncio.to_thread(writer.stop))
        await asyncio.sleep(0.05)  # the end is behind them now
        release.set()
        await holding
        await stopping
        assert not writer.is_running
        return await asyncio.gather(*waiting)

    assert [one.is_new for one in run(ledger, use)[0]] == [True, True]


def test_an_act_whose_device_went_away_before_it_was_taken_is_left_out(ledger: Path) -> None:
    async def use(writer: Writer) -> list[Any]:
        held, release, holding = await held_writer(writer)
        await held.wait()
        gone = asyncio.create_task(writer.record(tap("gone")))
        await asyncio.sleep(0)
        gone.cancel()
        release.set()
        await holding
        return [await writer.record(tap("r1")), gone]

    (kept, gone), _ = run(ledger, use)
    assert gone.cancelled()
    assert kept.is_new
    refs = [event.data.get("ref") for event in events_in(ledger)]
    assert "gone" not in refs


def test_a_new_chain_begins_with_its_key(tmp_path: Path, ledger: Path) -> None:
    async def use() -> Tapped:
        writer = Writer(ledger, "field", lambda: None)
        writer.start()
        try:
            return await writer.record(tap("r1"))
        finally:
            writer.stop()

    assert asyncio.run(use()).event_ids == ("field:2",)


def test_a_ledger_that_cannot_be_opened_is_told_at_the_start(tmp_path: Path) -> None:
    writer = Writer(tmp_path / "none.weighbook", "office", lambda: None)
    with pytest.raises(StoreError):
        writer.start()


def test_what_others_wrote_is_known_inside_the_lock(ledger: Path) -> None:
    """A player entered by another process between two acts is known to the second."""

    async def use(writer: Writer) -> Tapped:
        await writer.record(tap("r1"))
        store = open_store(ledger)
        with store.writing() as writing:
            child = {"kind": "enter_player", "player": "n1", "name": "Bo Yarrow", "by": "rg",
                     "team": "elm", "number": "9", "at": "2026-09-05T08:00"}  # fmt: skip
            statements = read_tap([child], CHICAGO).statements
            recording.record_statements(writing, statements, chain="office")
        store.close()
        return await writer.record(tap("r2", number="9"))

    assert run(ledger, use)[0].is_new


def test_no_read_transaction_outlives_an_answer(ledger: Path) -> None:
    """Else the log beside the ledger could not be emptied while the server runs."""

    async def use(writer: Writer) -> tuple[int, ...]:
        await writer.record(tap("r1"))
        beside = sqlite3.connect(ledger, timeout=5)
        found: tuple[int, ...] = beside.execute("pragma wal_checkpoint(truncate)").fetchone()
        beside.close()
        return found

    assert run(ledger, use)[0] == (0, 0, 0)
