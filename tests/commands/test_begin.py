"""weighbook begin: a registrar's first hour, the questions it asks, and what it leaves out."""

from __future__ import annotations

import csv
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from ledger.record.folder import read_folder
from tests.commands.beginning import scripted, typing
from tests.commands.conftest import Ran, Run
from tests.record.sheets import write_csv, write_workbook

LEAGUE = ("--league", "Invented League", "--time-zone", "chicago")
ACORN = (*LEAGUE, "--registrar", "Kit Underbough", "--division", "Acorn", "95")
HEAD = ["Jersey #", "First Name", "Last Name", "DOB", "Weight", "Parent email"]
NEWTS = [
    ["Glimmerfen Newts - Roster 2026"],
    [],
    HEAD,
    [12.0, "Pip", "Thimbleberry", date(2014, 5, 1), 88, "a@example.org"],
    ["7", "Zoë", "Ünder", date(2014, 6, 1), 92, None],
    [12, "Bo", "Wick"],
    [None, "Ana", "Quill"],
    ["Coach", "Max", "Marrow"],
]
OTHERS = {
    name: [["Player", "No."], [f"Invented {name}son", 3], [f"Made {name}sen", 12]]
    for name in ("Marmots", "Quokkas", "Dormice")
}


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def script(run: Run, monkeypatch: pytest.MonkeyPatch) -> partial[Ran]:
    return partial(scripted, run, monkeypatch)


@pytest.fixture
def four_teams(tmp_path: Path) -> Path:
    """A workbook with a sheet for each of four teams, and one that is no roster."""
    notes = {"Notes": [["Bring the check weight"]]}
    sheets: dict[str, Any] = {"Newts": NEWTS, **OTHERS, **notes}
    return write_workbook(tmp_path / "rosters.xlsx", sheets, merged=["A1:F1"])


def test_the_first_hour_of_a_registrar(script: Run, four_teams: Path, tmp_path: Path) -> None:
    """From a spreadsheet of four teams to a loaded season in which a number and a game change."""
    ran = script("begin", "fall", "--from", four_teams, *ACORN)
    assert (ran.status, ran.err) == (0, "")
    assert "Wrote fall: 1 division, 4 teams and 10 players." in ran.out
    fall = tmp_path / "fall"
    assert [(row["team"], row["name"]) for row in rows(fall / "teams.csv")] == [
        ("newts", "Newts"),
        ("marmots", "Marmots"),
        ("quokkas", "Quokkas"),
        ("dormice", "Dormice"),
    ]
    players = rows(fall / "players.csv")
    assert [tuple(row.values()) for row in players[:4]] == [
        ("p001", "newts", "12", "Pip Thimbleberry"),
        ("p002", "newts", "7", "Zoë Ünder"),
        ("p003", "", "", "Bo Wick"),
        ("p004", "", "", "Ana Quill"),
    ]
    settle = " ".join((fall / "to_settle.txt").read_text(encoding="utf-8").split())
    assert "row 6: Newts #12 Bo Wick: this number is taken (Newts #12 Pip Thimbleberry" in settle
    assert "row 7: Newts Ana Quill has no number, and is on the roster without one." in settle
    assert "row 8: Not taken: it does not look like a player (“Coach, Max”)." in settle

    told = "fall/to_settle.txt lists 4 points to settle. Settle each in the tables, take it off the"

    joins = rows(fall / "days" / "rosters.csv")
    assert [(row["kind"], row["team"], row["player"], row["by"]) for row in joins] == [
        ("roster_add", "newts", "p003", "registrar"),
        ("roster_add", "newts", "p004", "registrar"),
    ]
    assert rows(fall / "officials.csv") == [
        {"official": "registrar", "name": "Kit Underbough", "role": "registrar", "team": ""}
    ]

    day = (fall / "days" / "rosters.csv").read_text(encoding="utf-8")
    (fall / "days" / "rosters.csv").write_text(day.replace("p003,,", "p003,21,"))
    (fall / "games.csv").write_text(
        "game,division,kickoff,site,home,visitor\n"
        "acorn-1a,acorn,2099-09-05 09:00,Green,newts,marmots\n"
    )
    loaded = script("load", "fall")
    assert loaded.out.startswith("Added 18 setup rows and 2 entries")
    assert " ".join(loaded.err.split()).startswith(told)
    (fall / "to_settle.txt").write_text("Settled.\n", encoding="utf-8")
    told = "fall/to_settle.txt lists nothing to settle any more. Delete it: it may hold names."
    assert " ".join(script("load", "fall").err.split()) == told
    (fall / "to_settle.txt").unlink()
    assert script("load", "fall").err == ""
    by = ("--by", "registrar")
    number = ("--team", "newts", "--player", "p001", "--number", "13")
    assert script("record", "number_change", *number, *by).status == 0
    moved = ("--game", "acorn-1a", "--kickoff", "2099-09-05 10:30", "--reason", "wet field")
    assert script("record", "game_change", *moved, *by).status == 0
    shown = script("eligibility", "acorn-1a", "--format", "csv").out
    newts = [line.split(",")[1:4:2] for line in shown.splitlines() if ",newts," in line]
    assert newts == [["newts", one] for one in ("p002", "p001", "p003", "p004")]

    told = [line.strip() for line in script("ready").out.splitlines()]
    assert told[0] == "Week 1: Sat, Sep 5, 2099"
    assert "acorn-1a: marmots at newts, 10:30 AM CDT, Green" in told
    settled = ("p004: On the roster without a number.", "No weighmaster is assigned.")
    assert [told.count(f"– {one}") for one in settled] == [1, 2]
    typed = [line.split()[1:] for line in told if line.startswith("weighbook record")]
    answers = {"PLAYER": "p004", "N": "13", "OFFICIAL": "registrar", "WHO": "registrar"}
    for words in typed:
        assert script(*(answers.get(word, word) for word in words)).status == 0, words
    told = [line.strip() for line in script("ready").out.splitlines()]
    assert told.count("– 13 (p001): Another player on the team also has number 13.") == 1
    assert told.count("– registrar: Assigned, but not a weighmaster of this team.") == 2
    assert told[-1] == "weighbook print all --week 1 --to week-1"

    games = (fall / "games.csv").read_text(encoding="utf-8")
    (fall / "games.csv").write_text(games.replace("Green", "Hill Field"), encoding="utf-8")
    correct = ("--correct", *by, "--reason", "typing mistake", "--yes")
    assert script("load", "fall", *correct).status == 0
    told = [line.strip() for line in script("ready").out.splitlines()]
    assert "acorn-1a: marmots at newts, 10:30 AM CDT, Hill Field" in told
    assert "– The kickoff has changed. Scheduled: Sat, Sep 5, 2099, 9:00 AM CDT, Hill" in told


def test_it_shows_what_it_took_and_what_it_left_out(script: Run, four_teams: Path) -> None:
    told = " ".join(script("begin", "fall", "--from", four_teams, *ACORN).out.split())
    assert (
        "sheet Newts: name from column B “First Name” and column C “Last Name”, number from "
        "column A “Jersey #” and team Newts. Players: 4. Left out: column D “DOB”, birth dates: "
        "weighbook keeps none. Left out: column E “Weight”, weights: weighbook keeps none; ok or "
        "over is all the procedure needs. Left out, not needed: column F “Parent email”."
    ) in told
    assert "sheet Notes: No roster found on this sheet; left out." in told


def test_nothing_private_is_in_any_file(script: Run, four_teams: Path, tmp_path: Path) -> None:
    script("begin", "fall", "--from", four_teams, *ACORN)
    held = "".join(path.read_text(encoding="utf-8") for path in tmp_path.glob("fall/*.*"))
    assert "Zoë" in held
    assert not [one for one in ("2014", "88", "92", "example.org") if one in held]


def test_a_csv_in_any_order_with_teams_and_divisions_in_columns(
    script: Run, tmp_path: Path
) -> None:
    table = [
        ["Division", "Club", "Player", "Team", "No"],
        ["Acorn", "Fen", "Pip Quill", "Newts", "01"],
        ["Oak", "Hill", "Ana Wick", "Wombats", "0"],
    ]
    write_csv(tmp_path / "all.csv", table, separator=";", encoding="utf-16")
    ran = script("begin", "fall", "--from", "all.csv", *ACORN, "--division", "OAK", "125.5")
    assert ran.status == 0, ran.err
    assert rows(tmp_path / "fall" / "divisions.csv")[1] == {
        "division": "oak", "name": "OAK", "carrier_limit_lb": "125.50",
    }  # fmt: skip
    assert [tuple(row.values()) for row in rows(tmp_path / "fall" / "teams.csv")] == [
        ("newts", "Fen", "acorn", "Newts"),
        ("wombats", "Hill", "oak", "Wombats"),
    ]
    assert "The number is written “01”. weighbook keeps it without the zero." in ran.out
    assert not (tmp_path / "fall" / "to_settle.txt").exists()


def test_a_folder_has_to_be_named(script: Run) -> None:
    ran = script("begin", "--from", write_csv(Path("r.csv"), [["#", "Name"], ["1", "Pip"]]))
    hint = "Type: weighbook begin FOLDER --from r.csv, such as fall for FOLDER.\n"
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == f"name the new folder to write\n{hint}"


def test_several_files_and_a_team_for_each(script: Run, tmp_path: Path) -> None:
    for name in ("Newts", "Marmots"):
        write_csv(tmp_path / f"{name}.csv", [["#", "Name"], ["1", f"{name} child"]])
    script("begin", "fall", "--from", "Newts.csv", "--from", "Marmots.csv", *ACORN)
    assert [row["team"] for row in rows(tmp_path / "fall" / "players.csv")] == ["newts", "marmots"]


@pytest.mark.parametrize(
    ("table", "options", "told"),
    [
        (
            [["No.", "Jersey", "Name", "DOB"], ["1", "12", "Pip", "5/1/2014"]],
            ACORN,
            [
                "r.csv: which column has the players' numbers?",
                "  A: No. (such as 1)",
                "  B: Jersey (such as 12)",
                "Answer with a column's letter, “none”, or “skip” to leave this sheet out.",
                "Add --column number COLUMN. To leave the sheet out, add --skip SHEET.",
            ],
        ),
        (
            [["12", "Pip Quill"], ["7", "Bo Wick"]],
            ACORN,
            [
                "r.csv: which column has the players' numbers?",
                "  A: (such as 12)",
                "  B: (such as Pip Quill)",
            ],
        ),
        (
            [["No.", "Name", "Div"], ["1", "Pip", "Oak"]],
            LEAGUE,
            [
                "What may a ball carrier weigh at most in Oak, in pounds?",
                'Add --division "Oak" POUNDS.',
            ],
        ),
        (
            [["No.", "Name", "Team"], ["1", "Pip", "Newts"]],
            (*ACORN, "--division", "Oak", "125"),
            [
                "In which division does Newts play? (Acorn or Oak)",
                'Add --team "Newts" DIVISION.',
            ],
        ),
        (
            [["No.", "Name", "Team"], ["1", "Pip", "Newts"]],
            LEAGUE,
            [
                "Which divisions are there? (with commas, such as Acorn, Oak)",
                "Add --division NAME POUNDS.",
            ],
        ),
        ([["No.", "Name"]], ("--time-zone", "UTC"), ["What is the league called?"]),
        (
            [["No.", "Name"]],
            (*LEAGUE, "--time-zone", "Denvver"),
            ["found 'Denvver'; expected a time zone such as America/Chicago. Did you mean Denver?"],
        ),
        (
            [["No.", "Name"]],
            (*LEAGUE, "--time-zone", "EST"),
            ["found 'EST'; expected the zone's full name. Did you mean America/New_York?"],
        ),
        (
            [["No.", "Name"]],
            (*LEAGUE, "--division", "Acorn", "ninety"),
            ["found 'ninety'; expected pounds: a number above 0"],
        ),
    ],
)
def test_what_a_script_has_to_say(
    script: Run, tmp_path: Path, table: list[list[str]], options: tuple[str, ...], told: list[str]
) -> None:
    write_csv(tmp_path / "r.csv", table)
    ran = script("begin", "fall", "--from", "r.csv", *options)
    assert (ran.status, ran.out) == (2, "")
    assert "\n".join(told) in ran.err
    assert not (tmp_path / "fall").exists()


def test_options_answer_which_column_and_which_sheet(script: Run, tmp_path: Path) -> None:
    sheets = {"Newts": [["12", "95", "Pip Quill"]], "Old": [["3", "90", "Bo Wick"]]}
    write_workbook(tmp_path / "r.xlsx", sheets)
    columns = ("--column", "number", "a", "--column", "name", "C", "--column", "team", "none")
    ran = script("begin", "fall", "--from", "r.xlsx", *ACORN, *columns, "--skip", "Old")
    assert ran.status == 0, ran.err
    assert "sheet Old: Left out, as you asked." in ran.out
    (player,) = rows(tmp_path / "fall" / "players.csv")
    assert player == {"player": "p001", "team": "newts", "number": "12", "name": "Pip Quill"}


def test_the_questions_of_a_season_without_a_spreadsheet(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    answers = ["Invented League", "", "chigago", "chicago", "Acorn,  Oak", "95 lb", "much", "125",
               "Newts, Marmots", "", ""]  # fmt: skip
    ran = typing(run, monkeypatch, answers, "begin", "fall")
    assert ran.status == 0, ran.err
    assert "found 'chigago'; expected a time zone" in ran.err
    assert "found 'much'; expected pounds" in ran.err
    assert ran.out.startswith("Wrote fall: 2 divisions, 2 teams and 0 players.\nNext: fill in")
    assert [row["division"] for row in rows(tmp_path / "fall" / "teams.csv")] == ["acorn", "acorn"]


def test_at_a_terminal_it_asks_where_it_is_unsure_and_before_it_writes(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    sheets = {"Page 1": [["Hill Newts"], ["No.", "Jersey", "Name"], ["1", "12", "Pip Quill"]]}
    write_workbook(tmp_path / "r.xlsx", sheets)
    begin = ("begin", "fall", "--from", "r.xlsx", *ACORN, "--season", "2027")
    ran = typing(run, monkeypatch, ["Z", "B", "", "n"], *begin)
    assert ran.status == 130
    assert "found 'Z'; expected one of these columns, or none." in ran.err
    assert "Which team is on r.xlsx, sheet Page 1? [Hill Newts]" in ran.err
    assert not (tmp_path / "fall").exists()
    ran = typing(run, monkeypatch, ["B", "Newts", "y"], *begin)
    assert ran.status == 0, ran.err
    (player,) = rows(tmp_path / "fall" / "players.csv")
    assert (player["team"], player["number"]) == ("newts", "12")
    ran = typing(run, monkeypatch, ["skip", "", "y"], "begin", "spring", *begin[2:])
    assert ran.status == 0, ran.err
    assert rows(tmp_path / "spring" / "players.csv") == []


def test_a_folder_that_holds_anything_stays_and_nothing_is_asked(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "fall").mkdir()
    (tmp_path / "fall" / "players.csv").write_text("mine")
    ran = typing(run, monkeypatch, [], "begin", "fall")
    assert ran == (2, "", "fall already exists\nName a new folder, or an empty one.\n")
    assert [path.name for path in tmp_path.glob("fall/*")] == ["players.csv"]


def test_the_new_folder_is_a_season_for_its_owner_only(script: Run, tmp_path: Path) -> None:
    assert script("begin", "fall", *LEAGUE).status == 0
    fall = tmp_path / "fall"
    assert sorted(path.name for path in fall.iterdir()) == [
        "README.txt", "days", "divisions.csv", "games.csv", "league.toml", "officials.csv",
        "players.csv", "teams.csv",
    ]  # fmt: skip
    assert {path.stat().st_mode & 0o077 for path in [fall, *fall.iterdir()]} == {0}
    contents = read_folder(fall)
    assert (contents.rows, contents.lines, contents.unread) == ([], [], [])
    assert contents.league.data["name"] == "Invented League"
    rules = (fall / "league.toml").read_text(encoding="utf-8")
    assert "# How many weighs on the scale a player has. (a whole number, 1 to 2)\n" in rules


def test_a_practice_season_can_be_played_at_once(script: Run) -> None:
    """Nothing that it says to type raises a finding, or is refused."""
    ran = script("begin", "practice", "--practice")
    assert ran.status == 0, ran.err
    typed = [line.split() for line in ran.out.splitlines()[1:]]
    assert [words[1] for words in typed] == ["load", "record", "record", "eligibility"]
    shown = [script(*words[1:]) for words in typed]
    assert [one.status for one in shown] == [0, 0, 0, 0]
    assert "finding" not in "".join(one.out for one in shown)
    assert " 12     p011      full        yes          scale" in shown[-1].out


def test_a_first_load_asks_while_points_are_to_settle(
    run: Run, script: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script("begin", "fall", "--from", write_csv(Path("r.csv"), [["#", "Name"], ["1", "P"]]), *ACORN)
    (tmp_path / "fall" / "to_settle.txt").write_text("- One row.\n", encoding="utf-8")
    ran = typing(run, monkeypatch, [""], "load", "fall")
    assert ran.status == 130
    assert "Once loaded, a row can be corrected, but not deleted." in ran.err
    assert not (tmp_path / "season.weighbook").exists()
    assert typing(run, monkeypatch, ["y"], "load", "fall").out.startswith("Added ")
    again = typing(run, monkeypatch, [], "load", "fall")
    assert again.status == 0
    assert "all the same?" not in again.err
    assert "Fill in games.csv, then load the season folder again." in run("ready").err
