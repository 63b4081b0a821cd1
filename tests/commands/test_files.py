"""Files that commands read and write: what cannot be read or written is said, in one line."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from ledger.witness import countersign
from tests.commands.conftest import Run


@pytest.mark.parametrize(
    "command",
    [
        ["print", "list", "acorn-1a", "newts", "--to"],
        ["prove", "office:30", "--to"],
    ],
    ids=lambda command: command[0],
)
def test_a_file_that_cannot_be_written(
    run: Run, sample_ledger: Path, tmp_path: Path, command: list[str]
) -> None:
    ran = run(*command, "nowhere/x", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        "nowhere/x cannot be written: No such file or directory\n"
        "Choose a file in a folder that exists and that you may write to.\n"
    )
    assert list(tmp_path.iterdir()) == []


def disk_full(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_leaves_the_proof_that_was_there(
    run: Run, sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["prove", "--to", "x.proof", "--store", sample_ledger]
    assert run(*words, "office:30").status == 0
    before = (tmp_path / "x.proof").read_bytes()
    monkeypatch.setattr(os, "fsync", disk_full)
    ran = run(*words, "office:31")
    assert ran.err.startswith("x.proof cannot be written: No space left on device\n")
    assert [path.name for path in tmp_path.iterdir()] == ["x.proof"]
    assert (tmp_path / "x.proof").read_bytes() == before


@pytest.mark.parametrize("beside", ["", "-wal", "-shm", ".building"])
@pytest.mark.parametrize(
    "command",
    [
        ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--receipt"],
        ["prove", "office:30", "--to"],
        ["print", "list", "acorn-1a", "newts", "--to"],
        ["evidence", "pack", "late-plays", "--no-packet", "--to"],
    ],
    ids=lambda command: command[0],
)
def test_nothing_takes_the_place_of_a_ledger(
    run: Run, sample_copy: Path, tmp_path: Path, command: list[str], beside: str
) -> None:
    """Nor of a file beside it, whether that is there or not: SQLite would play it in."""
    before = sample_copy.read_bytes()
    to = tmp_path / "link"
    to.symlink_to(f"{sample_copy}{beside}")
    for name in (to, f"{sample_copy}{beside}"):
        ran = run(*command, name, "--store", sample_copy)
        assert (ran.status, ran.out) == (2, "")
        assert "belongs to a ledger" in ran.err or "already exists" in ran.err
    assert sample_copy.read_bytes() == before
    assert {path.name for path in sample_copy.parent.iterdir()} <= {
        sample_copy.name, f"{sample_copy.name}-wal", f"{sample_copy.name}-shm", "link"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("command", "own", "other"),
    [
        (["prove", "office:30", "--to"], "a proof", b"\x1f\x8b\x08\x08 somebody's backup"),
        (["print", "card", "--to"], "a PDF", b"player,team,number,name\n"),
        (
            ["evidence", "pack", "late-plays", "--no-packet", "--to"],
            "a bundle",
            b"PK\x03\x04" + bytes(26) + b"[Content_Types].xml of a letter",
        ),
    ],
    ids=["prove", "print", "evidence"],
)
def test_only_a_file_of_the_same_kind_is_replaced(
    run: Run, sample_ledger: Path, tmp_path: Path, command: list[str], own: str, other: bytes
) -> None:
    """To make the same file again is what people do; what is empty holds nothing to lose."""
    place = tmp_path / "file"
    place.write_bytes(b"")
    for _ in range(2):
        assert run(*command, "file", "--store", sample_ledger).status == 0
    assert place.stat().st_mode & 0o777 == 0o600
    place.write_bytes(other)
    ran = run(*command, "file", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        f"file already exists and is not {own}\n"
        f"It is unchanged. Choose a new name, or {own} to replace.\n"
    )
    assert place.read_bytes() == other


def test_a_receipt_replaces_nothing_and_then_nothing_is_signed(
    run: Run, sample_copy: Path, tmp_path: Path
) -> None:
    """The first receipt may be the only proof of what stood there when it was given out."""
    (tmp_path / "secret").write_text("a sunny morning\n")
    words = ["--passphrase-file", "secret", "--store", sample_copy]
    assert run("enroll", "newts-wm1", "--by", "registrar", *words).status == 0
    signing = ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--receipt", "receipt.txt", *words]
    assert run(*signing).status == 0
    receipt, before = (tmp_path / "receipt.txt").read_bytes(), sample_copy.read_bytes()
    ran = run(*signing)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(
        "receipt.txt already exists, and a receipt never replaces a file; nothing was signed\n"
    )
    assert (tmp_path / "receipt.txt").read_bytes() == receipt
    assert sample_copy.read_bytes() == before


def test_a_signature_in_ink_has_no_receipt_and_says_so(
    run: Run, sample_copy: Path, tmp_path: Path
) -> None:
    (tmp_path / "list.pdf").write_bytes(b"%PDF-1.7")
    words = ["--ink", "list.pdf", "--receipt", "receipt.txt", "--store", sample_copy]
    ran = run("sign", "acorn-1a", "newts", "--by", "newts-wm1", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("--ink and --receipt do not go together; nothing was signed\n")


def test_a_passphrase_that_is_no_text(run: Run, sample_copy: Path, tmp_path: Path) -> None:
    (tmp_path / "secret").write_bytes(b"\xff\xfe")
    before = sample_copy.read_bytes()
    ran = run(
        "enroll",
        "newts-wm1",
        "--by",
        "registrar",
        "--passphrase-file",
        "secret",
        "--store",
        sample_copy,
    )
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("secret: cannot read a passphrase here\nPut the passphrase")
    assert sample_copy.read_bytes() == before


def test_a_passphrase_that_nobody_can_be_asked_for(run: Run, sample_copy: Path) -> None:
    ran = run("enroll", "newts-wm1", "--by", "registrar", "--store", sample_copy)
    assert ran.status == 2
    assert ran.err.startswith("cannot ask for the passphrase here\n")
    assert "--passphrase-file FILE" in ran.err


def test_a_receipt_for_a_folder_that_is_not_there_is_refused_before_signing(
    run: Run, sample_copy: Path
) -> None:
    before = sample_copy.read_bytes()
    words = ["--receipt", "nowhere/r", "--store", sample_copy]
    ran = run("sign", "acorn-1a", "newts", "--by", "newts-wm1", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(
        "nowhere/r cannot be written: No such file or directory; nothing was signed\n"
    )
    assert sample_copy.read_bytes() == before


@pytest.mark.parametrize("trouble", ["a full disk", "a folder taken away", "a file came"])
def test_a_receipt_that_cannot_be_written_leaves_the_signature(
    run: Run, sample_copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, trouble: str
) -> None:
    """The event is appended before: the message says so, and the status is not 0."""
    (tmp_path / "secret").write_text("a sunny morning\n")
    words = ["--passphrase-file", "secret", "--store", sample_copy]
    assert run("enroll", "newts-wm1", "--by", "registrar", *words).status == 0
    (tmp_path / "stick").mkdir()
    signing = countersign.countersign

    def sign(*given: Any, **more: Any) -> Any:
        signed = signing(*given, **more)
        if trouble == "a full disk":
            monkeypatch.setattr(os, "fsync", disk_full)
        elif trouble == "a folder taken away":
            (tmp_path / "stick").rmdir()
        else:
            (tmp_path / "stick" / "r.txt").write_text("another's")
        return signed

    monkeypatch.setattr(countersign, "countersign", sign)
    where = ["--receipt", "stick/r.txt"]
    ran = run("sign", "acorn-1a", "newts", "--by", "newts-wm1", *where, *words)
    assert ran.status == 2
    assert "Signed as office:7348 by newts-wm1." in ran.out
    assert ran.err.startswith("stick/r.txt ")
    told = {
        "a full disk": "cannot be written: No space left on device\n",
        "a folder taken away": "cannot be written: No such file or directory\n",
        "a file came": "already exists, and a receipt never replaces a file\n",
    }
    assert told[trouble] in ran.err
    assert "weighbook print receipt office:7348 --to FILE" in ran.err
    left = {path.name: path.read_text() for path in tmp_path.glob("stick/*")}
    assert left == ({"r.txt": "another's"} if trouble == "a file came" else {})


def test_who_signs_sees_who_has_signed_before(run: Run, sample_copy: Path, tmp_path: Path) -> None:
    (tmp_path / "list.pdf").write_bytes(b"%PDF-1.7")
    words = ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--ink", "list.pdf"]
    first, second = (run(*words, "--store", sample_copy) for _ in range(2))
    assert (
        "Signatures so far:\n  marmots-wm2 for marmots: signed on the sheet, office:408.\n"
        in first.out
    )
    assert "newts-wm1 has signed it" not in first.out
    assert "  newts-wm1 for newts: signed in ink, scan kept, office:7347.\n" in second.out
    said = "newts-wm1 has already signed this list. A second signature adds to it.\n"
    assert said in second.out
    printed = "  To print its receipt: weighbook print receipt office:7347 --to FILE --store "
    assert printed in first.out


def test_who_signs_is_told_of_weighs_on_a_scale_that_was_out(
    run: Run, sample_copy: Path, tmp_path: Path
) -> None:
    (tmp_path / "list.pdf").write_bytes(b"%PDF-1.7")
    words = ["sign", "acorn-4b", "quokkas", "--by", "quokkas-wm2", "--ink", "list.pdf"]
    ran = run(*words, "--store", sample_copy)
    said = "No. 18 and No. 21: weighed ok, scale out of use. Ask the site official"
    assert said in " ".join(ran.out.split()), ran.err


def test_a_scan_that_is_too_large_is_refused(run: Run, sample_copy: Path, tmp_path: Path) -> None:
    """Kept are 64 MiB; this file says that it has 2.2 GB, more than SQLite takes."""
    with (tmp_path / "film.pdf").open("wb") as film:
        film.write(b"%PDF-1.7")
        film.truncate(2_200_000_000)
    before = sample_copy.read_bytes()
    words = ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--ink", "film.pdf"]
    ran = run(*words, "--store", sample_copy)
    assert ran.status == 2
    assert ran.err.startswith("film.pdf: more than 67,108,864 bytes are too many to keep\n")
    assert sample_copy.read_bytes() == before


def test_a_child_that_is_not_known_is_told_before_anything_is_asked(
    run: Run, sample_ledger: Path
) -> None:
    words = ["--by", "registrar", "--reason", "asked by a parent", "--store", sample_ledger]
    ran = run("erase", "k999", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("no player k999 in this ledger\n")


@pytest.fixture
def shut(sample_copy: Path) -> Path:
    """A ledger beside which SQLite can make no file, as on a read-only disk."""
    Path(f"{sample_copy}-shm").symlink_to(sample_copy.parent / "no folder" / "x")
    return sample_copy


@pytest.mark.parametrize(
    "command", [["audit"], ["status"], ["print", "card", "--to", "card.pdf"]], ids=" ".join
)
def test_a_ledger_on_a_read_only_disk_is_read(run: Run, shut: Path, command: list[str]) -> None:
    before = shut.read_bytes()
    ran = run(*command, "--store", shut)
    assert (ran.status, ran.err) == (0, "")
    assert shut.read_bytes() == before


def test_a_ledger_on_a_read_only_disk_takes_nothing_new(run: Run, shut: Path) -> None:
    before = shut.read_bytes()
    words = ["--by", "registrar", "--reason", "asked by a parent", "--yes", "--store", shut]
    ran = run("erase", "k297", *words)
    assert ran.status == 3
    assert "Erased" not in ran.out  # what may name the child is listed first
    assert ran.err == (
        "the ledger's file cannot be written\n"
        "If the disk is full, make room on it. If the folder is write-protected, copy the file "
        "to a folder that you may write to, and name the copy with --store.\n"
    )
    assert shut.read_bytes() == before


@pytest.mark.parametrize("command", ["audit", "status"])
def test_a_ledger_with_more_beside_it_is_not_read_without_that(
    run: Run, shut: Path, command: str
) -> None:
    """What was stated last may lie in its log alone."""
    log = Path(f"{shut}-wal")
    log.write_bytes(b"statements")
    ran = run(command, "--store", shut)
    assert (ran.status, ran.out) == (3, "")
    assert f"and {log.name} with it" in ran.err
    assert log.read_bytes() == b"statements"
