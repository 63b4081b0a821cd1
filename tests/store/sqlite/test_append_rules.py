"""What only SQLite's file can show of the rules of the append (`tests/store/test_contract.py`)."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from ledger.errors import StoreError
from ledger.record.accepted import Accepted
from ledger.store.opening import open_or_make, open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.store.store import Store
from tests.tiny import day, load, says, tiny_store

KEY = Accepted("chain_key", {"origin": "tiny/tent", "key": "k"})


@pytest.fixture
def store(folder: Callable[..., Path]) -> Iterator[SqliteStore]:
    line = says("close", game="g1", team="ash", note="quite dark by then")
    with tiny_store(folder(day=day(line))) as opened:
        yield opened


def begin(store: Store) -> None:
    with store.writing() as writing:
        writing.append([KEY], chain="tent")


def test_rule_2_the_position_counts_what_was_accepted(store: SqliteStore) -> None:
    begin(store)
    positions = store.connection.execute("select position from event order by position")
    assert [row[0] for row in positions] == list(range(1, 23))


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
    with pytest.raises(StoreError, match="unknown kind of store"):
        open_store("postgresql://field.example/season")


def test_a_new_ledger_is_there_only_if_all_went_well(tmp_path: Path) -> None:
    path = tmp_path / "new.weighbook"

    def break_off() -> None:
        with open_or_make(path) as store:
            begin(store)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        break_off()
    assert list(tmp_path.iterdir()) == []
    with open_or_make(path) as store:
        begin(store)
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
