"""What was recorded for good is known at every moment at which somebody may stop the program."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from ledger.errors import StoreError
from ledger.record.accepted import Accepted
from ledger.record.folder import read_folder
from ledger.store import written
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.store.sqlite.store import SqliteStore
from tests.tiny import tiny_store, write_folder

BROKEN_BEAM = Accepted("scale_out", {}, {}, game="g1", by="so")


@pytest.fixture(autouse=True)
def nothing_yet() -> None:
    written.WRITTEN.clear()


def append(store: SqliteStore) -> None:
    with store.writing() as writing:
        writing.append([BROKEN_BEAM], chain="office")


def test_a_load_is_told_as_one_run_and_other_chains_beside_it(tmp_path: Path) -> None:
    with tiny_store(write_folder(tmp_path / "season")) as store:
        last = store.lengths()["office"]
        assert written.in_words() == f"office:1 to office:{last}"
        written.WRITTEN.append("tent:2")
        append(store)
    assert written.in_words() == f"office:1 to office:{last}, tent:2, office:{last + 1}"


@pytest.mark.parametrize("where", ["before", "after", "full disk"])
def test_stopped_at_the_commit_it_is_known_whether_it_was_done(tmp_path: Path, where: str) -> None:
    """Python answers Ctrl-C when the commit has come back from SQLite, or before it went there."""
    with tiny_store(write_folder(tmp_path / "season")) as store:
        written.WRITTEN.clear()
        writing = store.writing()
        execute = store.connection.execute

        def stopped(sql: str, *values: object) -> sqlite3.Cursor:
            if sql == "commit" and where == "full disk":
                raise sqlite3.OperationalError("database or disk is full")
            if sql == "commit":
                if where == "after":
                    execute(sql)
                raise KeyboardInterrupt
            return execute(sql, *values)

        writing._execute = stopped  # type: ignore[attr-defined]
        before = store.lengths()["office"]
        with pytest.raises(StoreError if where == "full disk" else KeyboardInterrupt):
            append(store)
        there = [f"office:{before + 1}"] if where == "after" else []
        assert there == written.WRITTEN
        assert store.lengths()["office"] == before + len(there)
        assert not store.connection.in_transaction


def test_a_first_load_that_is_stopped_before_the_ledger_is_there_has_recorded_nothing(
    tmp_path: Path,
) -> None:
    contents = read_folder(write_folder(tmp_path / "season"))
    path = tmp_path / "new.weighbook"

    def load() -> None:
        with open_or_make(path) as store:
            with store.writing() as writing:
                load_folder(writing, contents, chain="office")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        load()
    assert (written.in_words(), path.exists()) == ("", False)
