"""Programs at the same ledger wait for each other, and say so."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from ledger.errors import StoreError
from ledger.store import waiting
from ledger.store.opening import open_store
from ledger.store.sqlite.errors import is_busy
from tests.tiny import events_in, load

ROOT = Path(__file__).resolve().parents[2]
Folder = Callable[..., Path]


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    load(tmp_path / "tiny.weighbook", folder())
    return tmp_path / "tiny.weighbook"


def recording(ledger: Path, ref: str) -> subprocess.Popen[str]:
    words = ["concern", "--game", "g1", "--by", "we", "--reason", "other", "--ref", ref]
    return subprocess.Popen(
        [sys.executable, "-m", "ledger.commands", "record", *words, "--store", str(ledger)],
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_eight_commands_at_once_all_record(ledger: Path) -> None:
    refs = [f"concern-{number}" for number in range(8)]
    children = [recording(ledger, ref) for ref in refs]
    told = [child.communicate(timeout=120) for child in children]
    assert [child.returncode for child in children] == [0] * 8, told
    last = events_in(ledger)[-8:]
    assert {event.data["ref"] for event in last} == set(refs)
    assert {out.splitlines()[0] for out, _ in told} == {f"Recorded as {one.id}." for one in last}
    assert audit_file(ledger).ok


def test_a_command_that_waits_says_so_and_goes_on(ledger: Path) -> None:
    other = sqlite3.connect(ledger, isolation_level=None)
    other.execute("begin immediate")
    child = recording(ledger, "later")
    assert child.stderr is not None
    told = child.stderr.readline()
    other.execute("rollback")
    other.close()
    out, rest = child.communicate(timeout=120)
    assert told == "Waiting for another program that is using the ledger…\n"
    assert (child.returncode, rest) == (0, "")
    assert out.startswith("Recorded as office:21.\n")


def test_waiting_ends(ledger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[str] = []
    monkeypatch.setattr(waiting, "STEP_SECONDS", 0)
    monkeypatch.setattr(waiting, "_is_told", [lambda: heard.append("waiting")])
    first, second = open_store(ledger), open_store(ledger)
    with first.writing(), pytest.raises(StoreError) as caught, second.writing():
        pass
    assert caught.value.message.startswith("another program has kept the ledger busy for ")
    assert caught.value.hint == (
        "Nothing was recorded. Wait for it to end, or close it, and try again."
    )
    assert heard == ["waiting"]
    first.close()
    second.close()


def test_another_error_is_not_waited_for() -> None:
    asked: list[str] = []

    def broken() -> None:
        asked.append("once")
        raise sqlite3.DatabaseError("file is not a database")

    with pytest.raises(sqlite3.DatabaseError):
        waiting.patiently(broken, is_busy)
    assert asked == ["once"]
