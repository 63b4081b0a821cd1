"""Several processes, and processes that die: one chain without a fork, and no half of a load."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from tests.many_writers import write_at_once
from tests.tiny import day, events_in, load, says

ROOT = Path(__file__).resolve().parents[2]
Folder = Callable[..., Path]
FIRST = {"01.csv": day(says("close", game="g1", team="ash"))}
MORE = FIRST | {"02.csv": day(*[says("close", game="g1", team="elm")] * 3)}

DIE = """
import os, sys
from pathlib import Path
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.store.sqlite.store import SqliteStore
from ledger.store.sqlite.writing import SqliteWriting

ledger, folder, moment = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
append = SqliteWriting.append

def dying(self, bodies, *, chain):
    if moment == "before the insert":
        os._exit(9)
    append(self, bodies, chain=chain)
    os._exit(9)

if moment != "after the commit":
    SqliteWriting.append = dying
with open_or_make(ledger) as store:
    with store.writing() as writing:
        load_folder(writing, read_folder(folder), chain="office")
    os._exit(9)
"""
MOMENTS = ["before the insert", "before the commit", "after the commit"]


def run(code: str, *arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.Popen(command, cwd=ROOT, text=True, stderr=subprocess.PIPE)


def ok(path: Path) -> bool:
    return audit_file(path).ok


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_load_that_dies_leaves_the_state_before_or_the_state_after(
    folder: Folder, tmp_path: Path, moment: str
) -> None:
    ledger = tmp_path / "season.weighbook"
    load(ledger, folder(days=FIRST))
    before = events_in(ledger)
    child = run(DIE, ledger, folder(days=MORE), moment)
    child.communicate()
    assert child.returncode == 9
    after = events_in(ledger)
    assert after[: len(before)] == before
    assert len(after) - len(before) == (3 if moment == "after the commit" else 0)
    assert ok(ledger)
    assert load(ledger, folder(days=MORE)).lines_added == (0 if len(after) > len(before) else 3)
    assert ok(ledger)


@pytest.mark.parametrize("moment", ["before the commit", "after the commit"])
def test_a_first_load_that_dies_leaves_no_ledger(
    folder: Folder, tmp_path: Path, moment: str
) -> None:
    ledger = tmp_path / "season.weighbook"
    season = folder(days=FIRST)
    run(DIE, ledger, season, moment).communicate()
    assert not ledger.exists()
    assert (tmp_path / "season.weighbook.building").exists()
    load(ledger, season)
    assert not list(tmp_path.glob("season.weighbook.*"))
    assert [event.kind for event in events_in(ledger)][-1] == "close"
    assert ok(ledger)


APPEND = """
import sys
from pathlib import Path
from ledger.record.reading import Place, read_statement
from ledger.record.times import zone
from ledger.store.recording import record_statement
from ledger.store.opening import open_store
from tests.tiny import says

ledger, who, chain = sys.argv[1:]
for number in range(20):
    store = open_store(ledger)
    line = says("concern", game="g1", reason="other", ref=f"{who}-{number}")
    statement, _ = read_statement(line, zone("UTC"), Place())
    with store.writing() as writing:
        record_statement(writing, statement, chain=chain)
    store.close()
"""


def test_two_writers_make_one_chain_without_fork_or_loss(folder: Folder, tmp_path: Path) -> None:
    ledger = tmp_path / "season.weighbook"
    load(ledger, folder())
    writers = [("a", "office"), ("b", "office"), ("c", "tablet")]
    children = [run(APPEND, ledger, who, chain) for who, chain in writers]
    assert [child.communicate()[1] for child in children] == ["", "", ""]
    refs = [event.data["ref"] for event in events_in(ledger) if event.kind == "concern"]
    for who, _ in writers:
        own = [ref for ref in refs if ref.startswith(who)]
        assert own == [f"{who}-{number}" for number in range(20)]
    assert ok(ledger)


def test_eight_processes_state_about_one_game_at_once(folder: Folder, tmp_path: Path) -> None:
    """Each keeps a snapshot warm, and follows what the others write. What was acknowledged is there
    under the id that was told; the bench does it with sixteen.
    """
    ledger = tmp_path / "season.weighbook"
    load(ledger, folder())
    told, _ = write_at_once(ledger, 8, 50, seconds=300)
    events = {event.id: event.data.get("ref") for event in events_in(ledger)}
    for who, ids in told.items():
        assert [events[event_id] for event_id in ids] == [f"{who}-{n}" for n in range(50)]
    assert len({event_id for ids in told.values() for event_id in ids}) == 400
    assert ok(ledger)


def test_two_first_loads_at_once_make_one_ledger(folder: Folder, tmp_path: Path) -> None:
    ledger = tmp_path / "season.weighbook"
    days = {"01.csv": day(*[says("close", game="g1", team="ash")] * 500)}
    seasons = [shutil.copytree(folder(days=days), tmp_path / name) for name in "ab"]
    command = [sys.executable, "-m", "ledger.commands", "load", "--store", str(ledger)]
    children = [
        subprocess.Popen([*command, str(season)], cwd=ROOT, text=True, stderr=subprocess.PIPE)
        for season in seasons
    ]
    told = [child.communicate()[1] for child in children]
    assert 0 in [child.returncode for child in children]
    assert all("it is being made" in text or "already" in text for text in told if text), told
    assert len([event for event in events_in(ledger) if event.kind == "close"]) == 500
    assert ok(ledger)
    assert not list(tmp_path.glob("season.weighbook.*"))
