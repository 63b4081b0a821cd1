"""Statements reach DuckDB without a file name in any folder."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.derive import passing
from ledger.derive.engine import Engine
from ledger.store.opening import open_store
from tests.tiny import load

ROOT = Path(__file__).resolve().parents[2]
Folder = Callable[..., Path]

KILLED = """
import os, signal, sys
from ledger.derive.engine import Engine
from ledger.store.opening import open_store

def killed(self, *names):
    os.kill(os.getpid(), signal.SIGKILL)

Engine.make = killed
Engine(open_store(sys.argv[1]).events())
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="Windows names the file")
def test_a_process_killed_while_duckdb_reads_leaves_nothing(folder: Folder, tmp_path: Path) -> None:
    load(tmp_path / "tiny.weighbook", folder())
    temporary, here = tmp_path / "temporary", tmp_path / "here"
    temporary.mkdir()
    here.mkdir()
    environment = os.environ | {"TMPDIR": str(temporary), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", KILLED, str(tmp_path / "tiny.weighbook")]
    killed = subprocess.run(command, cwd=here, env=environment, check=False)
    assert killed.returncode == -signal.SIGKILL
    assert list(temporary.iterdir()) == list(here.iterdir()) == []


@pytest.mark.parametrize("system", ["memory", "no memory", "no paths of what is open"])
def test_every_system_reads_the_same(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, system: str
) -> None:
    if system != "memory":
        monkeypatch.delattr(os, "memfd_create", raising=False)
    if system == "no paths of what is open":
        monkeypatch.setattr(passing.os.path, "isdir", lambda path: False)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()
    load(tmp_path / "tiny.weighbook", folder())
    store = open_store(tmp_path / "tiny.weighbook")
    engine = Engine(store.events())
    count = sum(1 for _ in store.events())
    assert engine.run("select count(*), count(distinct event_id) from event") == [(count, count)]
    engine.close()
    store.close()
    assert list((tmp_path / "temporary").iterdir()) == []


def make_old(path: Path) -> None:
    old = time.time() - 2 * passing.OLD_SECONDS
    os.utime(path, (old, old), follow_symlinks=not path.is_symlink())


def clean(temporary: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    passing.remove_left_over.cache_clear()
    passing.remove_left_over()


def test_what_a_killed_process_left_is_removed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An old folder of ours goes. Others stay, and a young one (its process may be alive)."""
    names = {"weighbook-abcd1234": True, "weighbook-young_12": False, "weighbook-season": False}
    names["weighbook-more1234"] = False
    for name in names:
        (tmp_path / name).mkdir()
        file = "games.csv" if name == "weighbook-season" else "events.ndjson"
        (tmp_path / name / file).write_text("{}\n")
        if name == "weighbook-more1234":
            (tmp_path / name / "games.csv").write_text("")
        if "young" not in name:
            make_old(tmp_path / name)
    clean(tmp_path, monkeypatch)
    assert {path.name for path in tmp_path.iterdir()} == {name for name in names if not names[name]}
    assert (tmp_path / "weighbook-season" / "games.csv").exists()


def test_a_folder_left_before_it_held_a_file_is_removed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left = tmp_path / "weighbook-abcd1234"
    left.mkdir()
    make_old(left)
    clean(tmp_path, monkeypatch)
    assert not left.exists()


def test_a_link_to_a_folder_elsewhere_is_not_followed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    temporary, elsewhere = tmp_path / "temporary", tmp_path / "elsewhere"
    temporary.mkdir()
    elsewhere.mkdir()
    (elsewhere / "events.ndjson").write_text("{}\n")
    (temporary / "weighbook-abcd1234").symlink_to(elsewhere)
    make_old(temporary / "weighbook-abcd1234")
    clean(temporary, monkeypatch)
    assert (elsewhere / "events.ndjson").exists()


def test_duckdb_puts_no_rows_into_a_folder_where_one_stands() -> None:
    engine = Engine([])
    assert engine.run("select current_setting('temp_directory')") == [("",)]
