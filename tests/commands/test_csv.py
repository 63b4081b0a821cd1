"""--format csv: for a person with a spreadsheet program, and without children's names."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.commands.shared import show
from tests.commands.conftest import Run
from tests.tiny import day, load, says

LINES = day(
    says("weigh", game="g1", team="ash", number=1, value="over"),
    says("initial", game="g1", team="ash", number=1, value="over", initials="IL"),
)


def test_a_formula_stays_text(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [{"initials": "=1+1", "number": 7, "events": ["office:1", "office:2"], "by": None}]
    show(("initials", "number", "events", "by"), rows, "csv", table={}, empty="", zone="UTC")
    assert capsys.readouterr().out == "Initials,No.,Entries,By\n'=1+1,7,office:1 office:2,\n"


@pytest.fixture
def shown(run: Run, folder: Callable[..., Path], tmp_path: Path) -> Callable[..., list[list[str]]]:
    """The heading and the rows of an answer as CSV."""
    load(tmp_path / "season.weighbook", folder(day=LINES))

    def showing(*words: str) -> list[list[str]]:
        ran = run(*words, "--format", "csv")
        assert ran.status == 0, ran.err
        return list(csv.reader(io.StringIO(ran.out)))

    return showing


def test_headings_as_on_screen_and_local_times_beside_utc(
    shown: Callable[..., list[list[str]]],
) -> None:
    heading, first, second = shown("book", "ash")
    assert heading == [
        *("Team", "No.", "Player", "Game", "Mark", "Initials", "By"),
        *("When (local)", "When (UTC)"),
    ]
    assert first[1:] == ["1", "a1", "g1", "over", "IL", "we", "2026-09-05 08:40:00",
                         "2026-09-05T13:40:00.000Z"]  # fmt: skip
    assert second[-2:] == ["", ""]


@pytest.mark.parametrize("command", ["eligibility g1", "book ash", "exposure g1", "findings"])
def test_no_name_of_a_child_unless_asked(
    shown: Callable[..., list[list[str]]], command: str
) -> None:
    words = command.split()
    plain, named = shown(*words), shown(*words, "--names")
    at = named[0].index("Name")
    assert named[0][at - 1] == "Player"
    assert [row[:at] + row[at + 1 :] for row in named] == plain
    assert "Pip Quillfeather" in {row[at] for row in named}
    assert "Quillfeather" not in str(plain)


def test_on_screen_too(run: Run, shown: Callable[..., list[list[str]]]) -> None:
    for command in ("eligibility g1", "findings"):
        assert "Pip Quillfeather" in run(*command.split(), "--names").out
        assert "Quillfeather" not in run(*command.split()).out
