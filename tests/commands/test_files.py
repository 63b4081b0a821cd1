"""Files that commands read and write: what cannot be read or written is said, in one line."""

from __future__ import annotations

from pathlib import Path

import pytest

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
        "Name a file in a folder that exists and that you may write to.\n"
    )
    assert list(tmp_path.iterdir()) == []


def test_a_passphrase_that_is_no_text(run: Run, sample_copy: Path, tmp_path: Path) -> None:
    (tmp_path / "secret").write_bytes(b"\xff\xfe")
    before = sample_copy.read_bytes()
    ran = run("enroll", "newts-wm1", "--passphrase-file", "secret", "--store", sample_copy)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("secret: no passphrase can be read here\nKeep the passphrase")
    assert sample_copy.read_bytes() == before


def test_a_passphrase_that_nobody_can_be_asked_for(run: Run, sample_copy: Path) -> None:
    ran = run("enroll", "newts-wm1", "--store", sample_copy)
    assert ran.status == 2
    assert ran.err.startswith("there is nobody to ask for the passphrase\n")
    assert "--passphrase-file FILE" in ran.err


def test_a_receipt_for_a_folder_that_is_not_there_is_refused_before_signing(
    run: Run, sample_copy: Path
) -> None:
    before = sample_copy.read_bytes()
    words = ["--receipt", "nowhere/r", "--store", sample_copy]
    ran = run("sign", "acorn-1a", "newts", "--by", "newts-wm1", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("nowhere/r: there is no such folder; nothing was signed\n")
    assert sample_copy.read_bytes() == before


def test_a_receipt_that_cannot_be_written_leaves_the_signature(
    run: Run, sample_copy: Path, tmp_path: Path
) -> None:
    """The event is appended before: the message says so, and the status is not 0."""
    (tmp_path / "secret").write_text("a sunny morning\n")
    words = ["--passphrase-file", "secret", "--store", sample_copy]
    assert run("enroll", "newts-wm1", *words).status == 0
    name = "r" * 300
    ran = run("sign", "acorn-1a", "newts", "--by", "newts-wm1", "--receipt", name, *words)
    assert ran.status == 2
    assert "Signed as office:7301 by newts-wm1." in ran.out
    assert ran.err.startswith(f"{name} cannot be written: File name too long\n")
    assert "weighbook print receipt office:7301 --to FILE" in ran.err


def test_who_signs_sees_who_has_signed_before(run: Run, sample_copy: Path, tmp_path: Path) -> None:
    (tmp_path / "list.pdf").write_bytes(b"%PDF-1.7")
    words = ["sign", "acorn-1a", "newts", "--by", "newts-wm1", "--ink", "list.pdf"]
    first, second = (run(*words, "--store", sample_copy) for _ in range(2))
    assert (
        "Signed as it stands by:\n  marmots-wm2 for marmots, on the sheet: office:408\n"
        in first.out
    )
    assert "signed it before" not in first.out
    assert "  newts-wm1 for newts, in ink, scan kept: office:7300\n" in second.out
    assert "newts-wm1 has signed it before; this one will stand beside that.\n" in second.out


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
