"""Where a new ledger is built: a file that one load holds, and that a dead one lets go."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.errors import StoreError
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.store.sqlite.building import make_building
from tests.tiny import load


def test_what_a_stopped_load_left_is_taken_away(
    tmp_path: Path, folder: Callable[..., Path]
) -> None:
    """Nobody holds it: it may be empty, or a database with a log of its own."""
    left = tmp_path / "a.weighbook.building"
    left.write_text("")
    left.with_name(f"{left.name}-wal").write_text("somebody's")
    load(tmp_path / "a.weighbook", folder())
    assert [path.name for path in tmp_path.glob("a.*")] == ["a.weighbook"]


def test_a_load_at_work_keeps_its_file(tmp_path: Path, folder: Callable[..., Path]) -> None:
    season, path = folder(), tmp_path / "a.weighbook"
    with open_or_make(path) as store, store.writing() as writing:
        with pytest.raises(StoreError, match="it is being made") as caught:
            load(path, season)
        assert f"delete {path}.building" in caught.value.hint
        load_folder(writing, read_folder(season), chain="office")
    assert [path.name for path in tmp_path.glob("a.*")] == ["a.weighbook"]


def test_the_file_of_another_building_under_the_same_name_is_not_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The name leads to another file by the time that the lock is there."""
    left = tmp_path / "a.weighbook.building"
    left.write_text("")

    def connect(path: Path) -> sqlite3.Connection:
        connection = sqlite3.connect(path, isolation_level=None)
        left.rename(tmp_path / "gone")
        left.write_text("another's")
        return connection

    with pytest.raises(StoreError, match="it is being made"):
        make_building(left, tmp_path / "a.weighbook", connect)
    assert left.read_text() == "another's"
