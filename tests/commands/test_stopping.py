"""Ctrl-C, and being asked to end: what is told of what was recorded before it."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from ledger.commands import weighbook
from ledger.derive.engine import Engine
from ledger.store import erasure
from tests.commands.conftest import Run
from tests.tiny import events_in, load

ROOT = Path(__file__).resolve().parents[2]
NOTHING = "Stopped. Nothing was recorded, and no file is half-written."
Folder = Callable[..., Path]


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    """The tiny season as season.weighbook, where the command looks for it."""
    load(tmp_path / "season.weighbook", folder())
    return tmp_path / "season.weighbook"


def stop(*_: object) -> None:
    raise KeyboardInterrupt


@pytest.mark.parametrize("stop", [KeyboardInterrupt, click.Abort])
def test_a_stopped_command_says_so(
    run: Run, monkeypatch: pytest.MonkeyPatch, stop: type[BaseException]
) -> None:
    def stopped() -> None:
        raise stop

    monkeypatch.setitem(weighbook.commands, "status", click.Command("status", callback=stopped))
    ran = run("status")
    assert (ran.status, ran.out, ran.err.strip()) == (130, "", NOTHING)


def test_what_was_recorded_before_it_was_stopped_stays_and_is_named(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The echo of a statement takes half a second, and comes when it is recorded already."""
    monkeypatch.setattr("ledger.say.recorded.recorded_lines", stop)
    weigh = "record weigh --game g1 --team ash --number 1 --by we --value ok"
    ran = run(*weigh.split())
    assert (ran.status, ran.out) == (130, "Recorded as office:21.\n")
    assert ran.err.strip() == "Stopped. Already recorded, and kept: office:21."
    assert events_in(ledger)[-1].id == "office:21"
    ran = run(*weigh.split(), "--chain", "tent")
    assert ran.err.strip() == "Stopped. Already recorded, and kept: tent:1 to tent:2."


ERASE = "erase a1 --by rg --reason asked --yes"


def test_an_erasure_has_said_what_it_cannot_reach_before_it_can_be_stopped(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same again cannot look for a name that is gone."""
    monkeypatch.setattr(erasure, "forget_old_bytes", stop)
    ran = run(*ERASE.split())
    assert ran.status == 130
    assert ran.err.strip() == "Stopped. Already recorded, and kept: office:21."
    assert ran.out.startswith("These may still name the child. Please deal with them:\n")
    assert "- the season folder: players.csv\n" in ran.out
    assert events_in(ledger)[-1].kind == "erasure"


@pytest.mark.usefixtures("ledger")
def test_an_erasure_stopped_while_it_cleans_the_file_says_how_it_is_finished(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("ledger.store.sqlite.store.SqliteStore.forget_free_space", stop)
        ran = run(*ERASE.split())
    assert ran.status == 3
    told = "it is erased and recorded as office:21, but the old bytes are not gone yet: it was sto"
    assert ran.err.startswith(told)
    assert "run the same command again" in ran.err
    assert "and the ledger file holds no old bytes of it." in run(*ERASE.split()).out


ENDING = """
import os, signal, sys, time
from pathlib import Path
import click
from ledger.commands import main, weighbook
from ledger.outputs import appearing

number, folder = sys.argv[1:]
signal.signal(getattr(signal, number), signal.SIG_DFL)  # nohup has this process ignore SIGHUP

def printing():
    with appearing(Path(folder) / "papers") as part:
        (part / "book.pdf").write_text("a child's name")
        os.kill(os.getpid(), getattr(signal, number))
        time.sleep(60)

weighbook.add_command(click.Command("ending", callback=printing))
sys.argv[1:] = ["ending"]
main()
"""
ASKING = """
import os, signal, sys, threading
import click
from ledger.commands import main, weighbook
from ledger.derive.engine import Engine

number = getattr(signal, sys.argv[1])
# A shell has what it runs in the background ignore SIGINT.
signal.signal(number, {signal.SIGINT: signal.default_int_handler}.get(number, signal.SIG_DFL))

def asking():
    engine = Engine([])
    engine.run("set threads = 1")  # with more, DuckDB first waits until the others are done
    threading.Timer(0.3, os.kill, [os.getpid(), number]).start()
    engine.run("select count(*) from range(9000000) as a, range(9000000) as b")

weighbook.add_command(click.Command("asking", callback=asking))
sys.argv[1:] = ["asking"]
main()
"""


@pytest.mark.parametrize("signal", ["SIGTERM", "SIGHUP"])
def test_asked_to_end_it_leaves_no_half_of_a_folder(tmp_path: Path, signal: str) -> None:
    command = [sys.executable, "-c", ENDING, signal, str(tmp_path)]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=50)
    assert (ended.returncode, ended.stderr.strip()) == (130, NOTHING)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("signal", ["SIGINT", "SIGTERM"])
def test_stopped_while_duckdb_is_at_work_it_ends_as_anywhere_else(signal: str) -> None:
    command = [sys.executable, "-c", ASKING, signal]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=50)
    assert (ended.returncode, ended.stderr.strip()) == (130, NOTHING)


def test_another_error_of_duckdb_shows_itself() -> None:
    class Broken:
        def execute(self, sql: str, values: object) -> Broken:
            raise RuntimeError("Query interrupted by nobody")

    engine = Engine([])
    engine.connection = Broken()  # type: ignore[assignment]
    with pytest.raises(RuntimeError, match="by nobody"):
        engine.run("select 1")
