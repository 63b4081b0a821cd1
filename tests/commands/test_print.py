"""weighbook print: a paper is written, or nothing is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands.conftest import Run

pytestmark = pytest.mark.usefixtures("papers_set_once")


def test_a_list_is_written(run: Run, sample_ledger: Path, tmp_path: Path) -> None:
    ran = run("print", "list", "acorn-1a", "newts", "--to", "l.pdf", "--store", sample_ledger)
    assert ran == (0, "Wrote l.pdf.\n", "")
    assert (tmp_path / "l.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    "words",
    [["list", "acorn-1a", "news"], ["list", "acorn-9", "newts"], ["blank-list", "news"]],
    ids=" ".join,
)
def test_what_is_not_known_writes_nothing(
    run: Run, sample_ledger: Path, tmp_path: Path, words: list[str]
) -> None:
    ran = run("print", *words, "--to", "l.pdf", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.count("\n") == 2
    assert not (tmp_path / "l.pdf").exists()


def test_where_to_write_is_needed(run: Run, sample_ledger: Path) -> None:
    ran = run("print", "list", "acorn-1a", "newts", "--store", sample_ledger)
    assert ran.status == 2
    assert "Missing option '--to'" in ran.err
