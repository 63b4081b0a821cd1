"""weighbook erase, redact, retention: what they ask, refuse, and tell a person to deal with."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.store import retention
from tests.commands.conftest import Run
from tests.tiny import LEAGUE, load

SeasonFolder = Callable[..., Path]

# Retention


@pytest.fixture
def kept_until_july(folder: SeasonFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tiny season, to be kept until 1 July 2027; a July morning, and thirteen names."""
    rule = '[privacy]\nkeep_personal_until = "2027-07-01"\n'
    path = tmp_path / "tiny.weighbook"
    load(path, folder(league=LEAGUE + rule))
    monkeypatch.setattr(retention, "now_utc", lambda: "2027-07-02T12:00:00.000Z")
    return path


@pytest.mark.parametrize("on", ["20270702", "2027-W26-5", "2027-7-2", "2027-02-30", "July", ""])
def test_a_date_in_another_form_erases_nothing(run: Run, kept_until_july: Path, on: str) -> None:
    """As text, "20270101" comes after "2027-07-01"."""
    before = kept_until_july.read_bytes()
    words = ["--apply", "--by", "rg", "--yes", "--store", kept_until_july]
    ran = run("retention", "--on", on, *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(f"--on: found '{on}'\n")
    assert "YYYY-MM-DD" in ran.err
    assert kept_until_july.read_bytes() == before


def test_a_day_that_has_not_come_is_shown_and_not_applied(run: Run, kept_until_july: Path) -> None:
    before = kept_until_july.read_bytes()
    words = ["--on", "2027-07-03", "--store", kept_until_july]
    assert "13 names and notes were to be kept" in run("retention", *words).out
    ran = run("retention", "--apply", "--by", "rg", "--yes", *words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("--on 2027-07-03: that day has not come; nothing was erased\n")
    assert "Today is 2027-07-02." in ran.err
    assert kept_until_july.read_bytes() == before


def test_applying_the_rule_asks_first(
    run: Run, kept_until_july: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nobody can answer, nothing is erased; with --yes nothing is asked."""
    before = kept_until_july.read_bytes()
    monkeypatch.setattr("sys.stdin", io.StringIO())
    words = ["retention", "--apply", "--by", "rg", "--store", kept_until_july]
    ran = run(*words)
    assert ran.status == 130
    assert "13 texts cannot be brought back. Erase? [y/N]:" in ran.out
    assert ran.err.endswith("Stopped; nothing was written.\n")
    assert kept_until_july.read_bytes() == before
    assert "Erased 13 texts; recorded as office:" in run(*words, "--yes").out


def test_where_nothing_is_due_nothing_is_asked(run: Run, kept_until_july: Path) -> None:
    words = ["--on", "2027-07-01", "--store", kept_until_july]
    ran = run("retention", "--apply", "--by", "rg", *words)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == "Names and notes are kept until 2027-07-01: 13 texts are held.\n"


@pytest.mark.parametrize("command", ["retention --apply", "erase a1 --reason asked"])
def test_an_unknown_official_is_told_before_anything_is_asked(
    run: Run, kept_until_july: Path, command: str
) -> None:
    ran = run(*command.split(), "--by", "nobody", "--store", kept_until_july)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("no official nobody in this ledger\n")
