"""weighbook load --correct: what it shows before it asks, and what it records."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Run
from tests.tiny import LEAGUE, TEXTS, day, events_in, says

Folder = Callable[..., Path]
LINES = day(
    says("station", game="g1", reading="10", limit="100"),
    says("weigh", game="g1", team="ash", number=1, value="ok"),
)
WHO = ("--by", "rg", "--reason", "typing mistake")


@pytest.fixture
def season(run: Run, folder: Folder) -> Path:
    """Loaded, and then changed: a limit, a number, a kickoff; and a new child."""
    assert run("load", folder(day=LINES)).status == 0
    return folder(
        day=LINES,
        divisions=TEXTS["divisions"].replace("100", "95"),
        players=TEXTS["players"].replace("a1,ash,1", "a1,ash,7") + "b1,ash,1,Bo Yarrow\n",
        games=TEXTS["games"].replace("05T10:00", "05T10:30"),
    )


def test_what_changes_is_shown_before_the_question(
    run: Run, season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = events_in(tmp_path / "season.weighbook")
    monkeypatch.setattr("sys.stdin", io.StringIO("n\n"))
    ran = run("load", season, "--correct", *WHO)
    assert ran.status == 130
    assert ran.out.startswith(
        """\
3 rows to correct, for the whole season:
  divisions.csv, line 2 (d1)
    carrier_limit_lb: 100.00 becomes 95.00
  players.csv, line 2 (a1)
    number: 1 becomes 7
  games.csv, line 2 (g1)
    kickoff: '2026-09-05 10:00-05:00' becomes '2026-09-05 10:30-05:00'
1 new row is left for the next weighbook load.

Answers that change:
  1 game:
    g1: Sat, Sep 5, 2026, 10:00 AM CDT becomes Sat, Sep 5, 2026, 10:30 AM CDT
  2 players:
    g1 ash 7 (a1): number 1 becomes number 7
    g2 ash 7 (a1): number 1 becomes number 7
  1 finding, new:
    g1: limit_wrong
"""
    )
    assert "Record this correction? [y/N]" in ran.out
    assert events_in(tmp_path / "season.weighbook") == before


def test_it_is_recorded_and_the_folder_loads_again(run: Run, season: Path, tmp_path: Path) -> None:
    length = len(events_in(tmp_path / "season.weighbook"))
    ids = ", ".join(f"office:{length + n}" for n in (1, 2, 3))
    ran = run("load", season, "--correct", *WHO, "--yes")
    assert ran.status == 0
    assert ran.out.endswith(
        f"Corrected 3 rows; recorded as {ids}.\n"
        "Not signed: rg had no key yet. Anyone could have typed --by rg.\n"
    )
    assert run("load", season).out.startswith("Added 1 setup row and 0 entries")
    assert run("audit").status == 0
    told = run("status").out.partition("\nCorrected tables\n")[2].splitlines()
    assert [line.split(",")[0] for line in told] == [
        "  divisions.csv corrected for d1",
        "  players.csv corrected for a1",
        "  games.csv corrected for g1",
    ]
    assert told[0].endswith(f", by rg (office:{length + 1}).")
    assert "95 lb" in run("rules").out


def test_a_corrected_official_is_named(run: Run, folder: Folder, tmp_path: Path) -> None:
    run("load", folder())
    name = next(line for line in TEXTS["officials"].splitlines() if line.startswith("wa,"))
    other = name.replace("Ana", "Anna")
    officials = TEXTS["officials"].replace(name, other)
    assert run("load", folder(officials=officials), "--correct", *WHO, "--yes").status == 0
    assert "  officials.csv corrected for wa, " in run("status").out


def test_a_long_list_is_cut(run: Run, folder: Folder) -> None:
    """A child more makes one row more in each of 30 games."""
    head, first, _ = TEXTS["games"].splitlines()
    games = [first.replace("g1", f"g{n}").replace("T10", f"T{n // 60 + 8:02}") for n in range(30)]
    files = {"games": "\n".join([head, *games])}
    run("load", folder(**files))
    ran = run(
        "load",
        folder(**files, league=LEAGUE + "[plays]\nminimum = 8\n"),
        "--correct",
        *WHO,
        "--yes",
    )
    assert "  league.toml\n    plays.minimum: 10 becomes 8\n" in ran.out
    assert "  120 players:\n" in ran.out
    assert "    … and 100 more\n" in ran.out
    assert ran.out.count("10 plays required becomes 8 plays required") == 20


@pytest.mark.parametrize(
    "options", [("--correct",), ("--correct", "--by", "rg"), ("--by", "rg", "--reason", "x")]
)
def test_by_and_reason_belong_to_it(run: Run, folder: Folder, options: tuple[str, ...]) -> None:
    ran = run("load", folder(day=LINES), *options)
    assert ran.status == 2
    assert ran.err == (
        "--correct, --by and --reason belong together\n"
        "Type: weighbook load FOLDER --correct --by OFFICIAL --reason TEXT\n"
    )
