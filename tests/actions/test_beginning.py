"""Any roster in any spreadsheet: every child arrives, nothing private does, the folder is right."""

from __future__ import annotations

import tempfile
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.actions.beginning import Plan, begin, plan
from ledger.actions.season_questions import AskForSeasonError, Wanted
from ledger.record.folder import read_folder
from ledger.record.spreadsheet import read_sheets
from ledger.record.tables import Player, Team
from tests.record.any_roster import Written, written
from tests.record.sheets import write_csv, write_workbook

WANTED = Wanted(
    {
        ("league", ""): "Invented League",
        ("season", ""): "2026",
        ("time_zone", ""): "America/Chicago",
        ("limit", "Acorn"): "95",
        ("teams", "Acorn"): "",
        ("registrar", ""): "Kit Underbough",
    },
    divisions=("Acorn",),
)


@settings(max_examples=60)
@given(written(), st.sampled_from(["xlsx", "csv", "semicolon", "utf-16"]))
def test_any_roster_arrives_whole(given_roster: Written, form: str) -> None:
    with tempfile.TemporaryDirectory() as made:
        planned = planned_from(Path(made), given_roster, form)
        begin(Path(made) / "fall", planned)
        contents = read_folder(Path(made) / "fall")
        held = "".join(
            path.read_text(encoding="utf-8") for path in (Path(made) / "fall").glob("*.*")
        )
    rows = [placed.row for placed in contents.rows]
    teams = {row.team: row.name for row in rows if isinstance(row, Team)}
    joins = {line.statement.player: line.statement.team for line in contents.lines}
    players = [row for row in rows if isinstance(row, Player)]
    arrived = [(teams[one.team or joins[one.player]], one.name) for one in players]
    assert Counter(arrived) == Counter((team, name) for team, _, name in given_roster.rows)
    numbers = Counter((team, number) for team, number, _ in given_roster.rows if number is not None)
    held_once = Counter((teams[one.team], one.number) for one in players if one.team)
    assert held_once == Counter(numbers.keys())
    assert not [one for one in ("2014-05-01", "143.25", "Kim Elder", "555-0100") if one in held]


def planned_from(folder: Path, roster: Written, form: str) -> Plan:
    """What is planned for files of this form."""
    if form == "xlsx" or len(roster.sheets) > 1:
        paths = [write_workbook(folder / "r.xlsx", roster.sheets, roster.merged)]
    else:
        separator = {"csv": ",", "semicolon": ";", "utf-16": "\t"}[form]
        encoding = "utf-16" if form == "utf-16" else "utf-8"
        paths = [
            write_csv(folder / f"{name}.csv", sheet, separator=separator, encoding=encoding)
            for name, sheet in roster.sheets.items()
        ]
    teams = tuple((team, "Acorn") for team in dict.fromkeys(team for team, _, _ in roster.rows))
    sheets = [sheet for path in paths for sheet in read_sheets(path)]
    return plan(replace(WANTED, teams=teams), sheets)


@pytest.mark.parametrize("left_out", sorted(WANTED.answers))
def test_each_answer_is_asked_for_by_itself(left_out: tuple[str, str]) -> None:
    answers = {key: text for key, text in WANTED.answers.items() if key != left_out}
    with pytest.raises(AskForSeasonError) as asked:
        plan(Wanted(answers, WANTED.divisions))
    assert (asked.value.what, asked.value.about) == left_out


def test_an_empty_answer_is_asked_again_where_there_must_be_one() -> None:
    with pytest.raises(AskForSeasonError) as asked:
        plan(Wanted({**WANTED.answers, ("league", ""): ""}, WANTED.divisions))
    assert (asked.value.what, asked.value.problem) == ("league", "an answer is needed")


HEAD = ["No.", "Name"]
TABLE = [HEAD, ["1", "Pip Quill"]]
SHEETS: list[tuple[dict[str, list[list[str]]], list[str]]] = [
    ({"Newts": TABLE, "Marmots": TABLE}, ["Newts", "Marmots"]),
    ({"Newts": [["Fen League"], *TABLE], "Elms": [["Fen League"], *TABLE]}, ["Newts", "Elms"]),
    (
        {"Acorn": [["Newts"], *TABLE, ["Marmots"], *TABLE], "Oak": TABLE},
        ["Newts", "Marmots", "Oak"],
    ),
    ({"Sheet1": [["Fen Newts"], *TABLE]}, ["Fen Newts"]),
    ({"Newts": [["NEWTS"], *TABLE]}, ["NEWTS"]),
]


@pytest.mark.parametrize(("sheets", "teams"), SHEETS, ids=lambda one: "+".join(one))
def test_a_team_is_named_by_its_title_or_its_sheet(
    tmp_path: Path, sheets: dict[str, list[list[str]]], teams: list[str]
) -> None:
    planned = plan(WANTED, read_sheets(write_workbook(tmp_path / "r.xlsx", sheets)))
    assert [name for _, _, _, name in planned.season.teams] == teams


@pytest.mark.parametrize(
    ("sheets", "guess"),
    [
        ({"Newts": [["Fen Newts"], *TABLE], "Elms": TABLE}, "Newts"),
        ({"Fall": [["Fen Newts"], *TABLE]}, "Fen Newts"),
        ({"Sheet1": TABLE}, "r"),
    ],
    ids=["title and sheet", "title and only sheet", "nothing but the file"],
)
def test_where_two_names_may_be_the_team_it_asks(
    tmp_path: Path, sheets: dict[str, list[list[str]]], guess: str
) -> None:
    read = read_sheets(write_workbook(tmp_path / "r.xlsx", sheets))
    with pytest.raises(AskForSeasonError) as asked:
        plan(WANTED, read)
    assert (asked.value.what, asked.value.default) == ("team", guess)
    key = ("team", asked.value.about)
    planned = plan(replace(WANTED, answers={**WANTED.answers, key: "Voles"}), read)
    assert planned.season.teams[0][3] == "Voles"
