"""Where `--to` may lead: pipes, devices, links, and files that may not be written to."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from tests.commands.conftest import Run

PROVE = ["prove", "office:30", "--to"]


def test_a_write_protected_file_stays(
    run: Run, sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A rename would not ask. (Root may write to any file: so the answer is given here.)"""
    assert run(*PROVE, "x.proof", "--store", sample_ledger).status == 0
    (tmp_path / "x.proof").chmod(0o444)
    before, access = (tmp_path / "x.proof").read_bytes(), os.access
    monkeypatch.setattr(os, "access", lambda path, how: how != os.W_OK and access(path, how))
    ran = run("prove", "office:31", "--to", "x.proof", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        "x.proof already exists and is write-protected\n"
        "It is unchanged. Choose a new name, or remove the protection.\n"
    )
    assert [path.name for path in tmp_path.iterdir()] == ["x.proof"]
    assert (tmp_path / "x.proof").read_bytes() == before


@pytest.mark.parametrize(
    "command",
    [PROVE, ["print", "card", "--to"], ["evidence", "pack", "late-plays", "--no-packet", "--to"]],
    ids=lambda command: command[0],
)
def test_a_pipe_is_written_to_as_it_is(
    run: Run, sample_ledger: Path, tmp_path: Path, command: list[str]
) -> None:
    """A second time too: it is no file that could be replaced."""
    os.mkfifo(tmp_path / "pipe")
    got: list[bytes] = []

    def read() -> None:
        got.append((tmp_path / "pipe").read_bytes())

    for _ in range(2):
        reader = threading.Thread(target=read, daemon=True)
        reader.start()
        assert run(*command, "pipe", "--store", sample_ledger).status == 0
        reader.join()
    assert run(*command, "file", "--store", sample_ledger).status == 0
    begins = (tmp_path / "file").read_bytes()[:4]
    assert [content[:4] for content in got] == [begins, begins]
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)
    assert {path.name for path in tmp_path.iterdir()} == {"pipe", "file"}


def test_standard_output_holds_the_proof_alone(
    run: Run, sample_ledger: Path, tmp_path: Path
) -> None:
    """What is said about it goes beside it, so that what comes out can be checked."""
    words = [*PROVE, "/dev/stdout", "--store", str(sample_ledger)]
    ran = subprocess.run(
        [sys.executable, "-m", "ledger.commands", *words], capture_output=True, check=True
    )
    assert ran.stderr.startswith(b"Wrote /dev/stdout: ")
    (tmp_path / "x.proof").write_bytes(ran.stdout)
    assert run("check", "x.proof").status == 0


def test_a_device_stays_a_device(run: Run, sample_ledger: Path) -> None:
    assert run(*PROVE, "/dev/null", "--store", sample_ledger).status == 0
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode)
    ran = run(*PROVE, "/dev/full", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("/dev/full cannot be written: No space left on device\n")


@pytest.mark.parametrize(
    ("target", "told"),
    [
        ("nowhere/x", "link is a link into a missing folder\nIt leads to {}/nowhere/x. "),
        ("link", "link cannot be written: Too many levels of symbolic links\n"),
    ],
)
def test_a_link_that_leads_nowhere(
    run: Run, sample_ledger: Path, tmp_path: Path, target: str, told: str
) -> None:
    (tmp_path / "link").symlink_to(target)
    ran = run(*PROVE, "link", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(told.format(tmp_path))
    assert [path.name for path in tmp_path.iterdir()] == ["link"]
