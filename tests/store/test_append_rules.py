"""The rules of the append, by the numbers of `ledger/store/store.py`."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.store.opening import open_or_make, open_store
from ledger.store.sqlite.store import SqliteStore
from tests.tiny import day, load, says, tiny_store

CLOSE = Accepted("close", {}, at="2026-09-05T13:40:00.000Z", entered="2026-09-05T13:40:00.000Z",
                 by="we", game="g1", team="ash")  # fmt: skip
KEY = Accepted("chain_key", {"origin": "tiny/tent", "key": "k"})


@pytest.fixture
def store(folder: Callable[..., Path]) -> Iterator[SqliteStore]:
    line = says("close", game="g1", team="ash", note="quite dark by then")
    with tiny_store(folder(day=day(line))) as opened:
        yield opened


@pytest.fixture
def path(store: SqliteStore, tmp_path: Path) -> Path:
    return tmp_path / "tiny.weighbook"


def append(store: SqliteStore, *bodies: Accepted, chain: str = "office") -> list[str]:
    with store.writing() as writing:
        return writing.append(bodies or [CLOSE], chain=chain)


def test_rule_1_one_writer_at_a_time(store: SqliteStore, path: Path) -> None:
    other = open_store(path)
    other.connection.execute("pragma busy_timeout = 0")
    with store.writing() as writing:
        writing.append([CLOSE], chain="office")
        assert other.head("office").seq == 21  # a reader sees the state before
        with pytest.raises(StoreError, match="another program") as caught, other.writing():
            pass
        assert caught.value.hint.startswith("Nothing was recorded. Wait for it to end")
    assert append(other) == ["office:23"]
    other.close()


def test_rule_1_an_exception_undoes_the_whole_transaction(store: SqliteStore) -> None:
    before = list(store.events()), list(store.disclosures())

    def break_off() -> None:
        with store.writing() as writing:
            writing.append([CLOSE], chain="office")
            off = Accepted("game_off", {}, {"reason": "rain"}, by="so")
            writing.append([KEY, off], chain="other")
            writing.keep_key("k", b"sealed")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    assert (list(store.events()), list(store.disclosures())) == before
    assert store.key("k") is None
    assert append(store) == ["office:22"]


def test_rule_1_a_body_that_cannot_be_kept_keeps_none_of_them(store: SqliteStore) -> None:
    with pytest.raises(StoreError, match="UNIQUE constraint failed"):
        append(store, Accepted("close", {"ref": "x"}), Accepted("close", {"ref": "x"}))
    assert store.head("office").seq == 21


def test_rule_2_seq_counts_and_prev_is_the_hash_before(store: SqliteStore) -> None:
    append(store)
    append(store, KEY, CLOSE, chain="tent")
    for chain, length in {"office": 22, "tent": 2}.items():
        before = BEGINNING
        for count, stored in enumerate(store.events(chain=[chain]), 1):
            event = stored.event
            assert (event.chain, event.seq, event.prev) == (chain, count, before)
            before = leaf_hash(stored.body.encode())
        assert (count, before) == store.head(chain)[:2] == (length, store.hashes(chain)[-1])
    assert store.lengths() == {"office": 22, "tent": 2}
    positions = store.connection.execute("select position from event order by position")
    assert [row[0] for row in positions] == list(range(1, 25))


def test_rule_2_nothing_is_written_to_a_chain_that_has_not_begun(store: SqliteStore) -> None:
    with pytest.raises(InputError, match=r"^no chain ofice in this ledger$"):
        append(store, chain="ofice")
    assert store.lengths() == {"office": 21}


def test_rule_3_recorded_is_the_clock_under_the_lock_kept_as_read(store: SqliteStore) -> None:
    """Also where the clock went back: that is reported by the audit, not failed here."""
    inside = []

    def clock() -> str:
        inside.append(store.connection.in_transaction)
        return f"2026-09-05T13:40:0{9 - len(inside)}.000Z"

    ticking = SqliteStore(store.connection)
    ticking.clock = clock
    append(ticking, CLOSE, CLOSE)
    append(ticking)
    assert [stored.event.recorded[17:19] for stored in store.events()][-3:] == ["08", "08", "07"]
    assert inside == [True, True]


@pytest.mark.parametrize(
    ("seq", "prev", "refused_by"),
    [
        ("seq", "prev", "event.chain, event.seq"),
        ("seq + 1", "prev", "names the one before it"),
        ("seq + 1", "randomblob(32)", "names the one before it"),
        ("seq + 2", "hash", "names the one before it"),
        ("1", "zeroblob(32)", "event.chain, event.seq"),
        ("1", "hash", "names the one before it"),
    ],
)
def test_rule_4_neither_a_fork_nor_a_gap_can_commit(
    store: SqliteStore, seq: str, prev: str, refused_by: str
) -> None:
    names = [name for _, name, *_ in store.connection.execute("pragma table_info(event)")]
    changed = {"position": "null", "seq": seq, "prev": prev, "ref": "null"}
    chosen = ", ".join(changed.get(name, name) for name in names)
    copy = f"insert into event select {chosen} from event where position = 21"
    with pytest.raises(sqlite3.IntegrityError, match=refused_by):
        store.connection.execute(copy)


def test_rule_5_events_and_checkpoints_are_never_changed_or_deleted(
    store: SqliteStore,
) -> None:
    execute = store.connection.execute
    execute("insert into checkpoint (chain, size, note) values ('office', 1, 'x')")
    for table in ("event", "checkpoint"):
        for statement in (
            f"update {table} set chain = 'x'",
            f"delete from {table}",
            f"insert or replace into {table} select * from {table} limit 1",
        ):
            with pytest.raises(sqlite3.IntegrityError, match=f"the ledger keeps every {table}"):
                execute(statement)
    assert execute("delete from disclosure").rowcount > 0


@pytest.mark.parametrize("name", ["nothing", "folder", "empty", "text", "other", "newer"])
def test_rule_6_a_wrong_path_is_an_error_and_stays_as_it_is(
    store: SqliteStore, tmp_path: Path, name: str
) -> None:
    path = tmp_path / name
    if name == "folder":
        path.mkdir()
    elif name in ("other", "newer"):
        with sqlite3.connect(path) as connection:
            connection.execute("create table event (position integer)")
            mark = "pragma application_id = 0x77656967" if name == "newer" else "select 1"
            connection.execute(mark)
            connection.execute("pragma user_version = 3")
        connection.close()
    elif name != "nothing":
        path.write_bytes(b"" if name == "empty" else b"a text, not a ledger\n" * 100)
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(StoreError) as caught:
        open_store(path)
    assert caught.value.exit_status == 3
    assert caught.value.hint
    assert (path.read_bytes() if path.is_file() else None) == before
    assert not list(tmp_path.glob(f"{name}-*"))


def test_rule_6_a_url_of_another_kind_of_store_is_refused() -> None:
    with pytest.raises(StoreError, match="this kind of store is not known"):
        open_store("postgresql://field.example/season")


def test_a_new_ledger_is_there_only_if_all_went_well(tmp_path: Path) -> None:
    path = tmp_path / "new.weighbook"

    def break_off() -> None:
        with open_or_make(path) as store:
            append(store, KEY)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    assert list(tmp_path.iterdir()) == []
    with open_or_make(path) as store:
        append(store, KEY)
    assert [file.name for file in tmp_path.iterdir()] == ["new.weighbook"]


def test_a_new_ledger_overwrites_nothing(tmp_path: Path, folder: Callable[..., Path]) -> None:
    season = folder()
    for taken in ("a.weighbook", "b.weighbook-wal", "c.weighbook.building"):
        (tmp_path / taken).write_text("somebody's")
        with pytest.raises(StoreError):
            load(tmp_path / f"{taken[0]}.weighbook", season)
        assert (tmp_path / taken).read_text() == "somebody's"
        assert len(list(tmp_path.glob(f"{taken[0]}.*"))) == 1
    with pytest.raises(StoreError, match="no such folder"):
        load(tmp_path / "nowhere" / "d.weighbook", season)
