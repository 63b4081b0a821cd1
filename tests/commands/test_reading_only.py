"""Reading and auditing where nothing can be written: a folder of somebody else's, a full disk."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.tiny import load
from tests.without_rights import give_up_rights, needs_rights, weighbook, write_little

Folder = Callable[..., Path]
READING = [["audit"], ["status"], ["eligibility", "g1"]]
RECORD = ["record", "half", "--game", "g1", "--half", "1", "--by", "so"]


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    (tmp_path / "shelf").mkdir()
    load(tmp_path / "shelf" / "l.weighbook", folder())
    return tmp_path / "shelf" / "l.weighbook"


@pytest.fixture
def shelved(ledger: Path) -> Iterator[Path]:
    """In a folder that may be read, and not written."""
    ledger.parent.chmod(0o500)
    yield ledger
    ledger.parent.chmod(0o700)


@needs_rights
@pytest.mark.parametrize("command", READING, ids=" ".join)
def test_a_ledger_in_a_folder_that_may_not_be_written_is_read(
    shelved: Path, tmp_path: Path, command: list[str]
) -> None:
    ran = weighbook(*command, "--store", shelved, cwd=tmp_path, before=give_up_rights)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert [path.name for path in shelved.parent.iterdir()] == ["l.weighbook"]


@needs_rights
def test_a_ledger_in_a_folder_that_may_not_be_written_takes_nothing_new(
    shelved: Path, tmp_path: Path
) -> None:
    ran = weighbook(*RECORD, "--store", shelved, cwd=tmp_path, before=give_up_rights)
    assert (ran.returncode, ran.stdout) == (3, "")
    assert ran.stderr.startswith("the ledger's file cannot be written\nIf the disk is full, ")


@needs_rights
@pytest.mark.parametrize("command", ["audit", "status"])
def test_what_lies_in_the_log_beside_it_is_not_left_out(
    shelved: Path, tmp_path: Path, command: str
) -> None:
    shelved.with_name("l.weighbook-wal").write_bytes(b"statements")
    shelved.with_name("l.weighbook-wal").chmod(0)
    ran = weighbook(command, "--store", shelved, cwd=tmp_path, before=give_up_rights)
    assert (ran.returncode, ran.stdout) == (3, "")
    assert "and l.weighbook-wal with it" in ran.stderr


@pytest.mark.parametrize("command", READING, ids=" ".join)
def test_a_ledger_on_a_full_disk_is_read(ledger: Path, tmp_path: Path, command: list[str]) -> None:
    """The second time too, with what the first left beside it."""
    before = ledger.read_bytes()
    for _ in range(2):
        ran = weighbook(*command, "--store", ledger, cwd=tmp_path, before=write_little)
        assert (ran.returncode, ran.stderr) == (0, "")
    assert ledger.read_bytes() == before


def test_a_ledger_on_a_full_disk_takes_nothing_new(ledger: Path, tmp_path: Path) -> None:
    before = ledger.read_bytes()
    ran = weighbook(*RECORD, "--store", ledger, cwd=tmp_path, before=write_little)
    assert (ran.returncode, ran.stdout) == (3, "")
    assert ran.stderr.startswith("the ledger's file cannot be written\nIf the disk is full, ")
    assert ledger.read_bytes() == before
