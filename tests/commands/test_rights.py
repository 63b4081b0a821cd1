"""What is made is for its owner only; receipts are whole; links that lead nowhere stay."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from ledger import outputs
from ledger.errors import ReportError
from ledger.outputs import RECEIPT, replacing, write_output
from tests.commands.conftest import Run
from tests.tiny import load
from tests.without_rights import give_up_rights, needs_rights, weighbook

Folder = Callable[..., Path]


@pytest.fixture
def no_umask() -> Iterator[None]:
    before = os.umask(0)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.usefixtures("no_umask")
def test_a_ledger_and_what_lies_beside_it_are_for_their_owner(
    folder: Folder, tmp_path: Path
) -> None:
    from ledger.record.folder import read_folder
    from ledger.store.loading import load_folder
    from ledger.store.opening import open_or_make, open_store

    path, contents, seen = tmp_path / "l.weighbook", read_folder(folder()), {}
    with open_or_make(path) as store, store.writing() as writing:
        load_folder(writing, contents, chain="office")
        seen |= {file.name: mode(file) for file in tmp_path.glob("l.weighbook*")}
    store = open_store(path)
    seen |= {file.name: mode(file) for file in tmp_path.glob("l.weighbook*")}
    store.close()
    assert set(seen.values()) == {0o600}
    assert {"l.weighbook", "l.weighbook-wal", "l.weighbook.building"} <= seen.keys()


@pytest.mark.usefixtures("no_umask")
@pytest.mark.parametrize(
    "command",
    [
        ["export", "--parquet", "--to", "made/deep/tables"],
        ["print", "all", "--week", "1", "--to", "made"],
        ["prove", "office:30", "--to", "made"],
        ["print", "card", "--to", "made"],
        ["evidence", "pack", "late-plays", "--no-packet", "--to", "made"],
    ],
    ids=lambda command: " ".join(command[:2]),
)
def test_what_is_written_is_for_its_owner(
    run: Run, sample_ledger: Path, folder: Folder, tmp_path: Path, command: list[str]
) -> None:
    store = sample_ledger
    if command[:2] == ["print", "all"]:  # a Saturday of one game has papers of every kind
        store = tmp_path / "tiny.weighbook"
        load(store, folder())
    assert run(*command, "--store", store).status == 0
    made = [tmp_path / "made", *(tmp_path / "made").rglob("*")]
    assert {mode(path) for path in made if path.is_dir()} <= {0o700}
    assert {mode(path) for path in made if path.is_file()} == {0o600}


@pytest.mark.usefixtures("no_umask")
def test_a_receipt_is_for_its_owner(tmp_path: Path) -> None:
    write_output(b"text", tmp_path / "receipt", RECEIPT)
    assert mode(tmp_path / "receipt") == 0o600


def test_a_receipt_has_its_name_only_when_it_is_whole(tmp_path: Path) -> None:
    """A process killed in the middle can leave nothing under that name."""
    with replacing(tmp_path / "receipt", RECEIPT) as part:
        part.write_bytes(b"half")
        assert not (tmp_path / "receipt").exists()
        part.write_bytes(b"half and half")
    assert (tmp_path / "receipt").read_bytes() == b"half and half"
    assert [path.name for path in tmp_path.iterdir()] == ["receipt"]


@pytest.fixture(params=["links", "no links"])
def any_disk(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file system with hard links; and one without, as many sticks have."""

    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if request.param == "no links":
        monkeypatch.setattr(outputs.os, "link", refused)


@pytest.mark.usefixtures("any_disk")
def test_a_receipt_replaces_nothing_that_came_meanwhile(tmp_path: Path) -> None:
    def write() -> None:
        with replacing(tmp_path / "receipt", RECEIPT) as part:
            part.write_bytes(b"ours")
            (tmp_path / "receipt").write_bytes(b"another's")

    with pytest.raises(ReportError, match="a receipt never replaces a file"):
        write()
    assert (tmp_path / "receipt").read_bytes() == b"another's"
    (tmp_path / "receipt").unlink()
    write_output(b"ours", tmp_path / "receipt", RECEIPT)
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"ours"]


@pytest.mark.parametrize(
    "command",
    [
        ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--receipt"],
        ["prove", "office:30", "--to"],
        ["print", "card", "--to"],
        ["print", "all", "--week", "1", "--to"],
        ["evidence", "pack", "late-plays", "--no-packet", "--to"],
        ["export", "--to"],
    ],
    ids=lambda command: " ".join(command[:2]),
)
def test_a_link_that_leads_nowhere_stays(
    run: Run, sample_copy: Path, tmp_path: Path, command: list[str]
) -> None:
    before = sample_copy.read_bytes()
    (tmp_path / "link").symlink_to(tmp_path / "stick")
    ran = run(*command, "link", "--store", sample_copy)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("link is a link that leads nowhere")
    assert f"It leads to {tmp_path / 'stick'}. Remove the link, or choose another" in ran.err
    assert (tmp_path / "link").is_symlink()
    assert not (tmp_path / "stick").exists()
    assert sample_copy.read_bytes() == before


def test_a_ledger_is_not_made_in_the_place_of_a_link(
    run: Run, folder: Folder, tmp_path: Path
) -> None:
    (tmp_path / "season.weighbook").symlink_to(tmp_path / "stick")
    ran = run("load", folder())
    assert (ran.status, ran.out) == (3, "")
    assert ran.err.startswith("season.weighbook: this link points nowhere\nIt leads to ")
    assert (tmp_path / "season.weighbook").is_symlink()
    assert {path.name for path in tmp_path.iterdir()} == {"season", "season.weighbook"}


@needs_rights
def test_a_receipt_that_may_not_be_written_is_told_before_anything_is_signed(
    sample_copy: Path, tmp_path: Path
) -> None:
    (tmp_path / "shut").mkdir(0o500)
    words = ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--receipt", "shut/receipt"]
    ran = weighbook(*words, "--store", sample_copy, cwd=tmp_path, before=give_up_rights)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.startswith(
        "shut/receipt cannot be written: Permission denied; nothing was signed\n"
    )
