"""Which texts of a statement or a folder are asked about, and where they stand."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from ledger.record.folder import read_folder
from ledger.record.questions import question_about, questions_of, questions_of_folder
from ledger.record.reading import Place, read_statement
from tests.conftest import SAMPLE
from tests.derive.season_cases import BASE, SEASONS, read_case
from tests.tiny import TEXTS, day, says

Folder = Callable[..., Path]
BORN = "2014-03-05"


def asked(line: dict[str, str]) -> list[str]:
    statement, faults = read_statement(line, ZoneInfo("America/Chicago"), Place())
    assert statement, faults
    return [str(question) for question in questions_of(statement)]


@pytest.mark.parametrize(
    ("line", "column"),
    [
        (says("weigh", game="g1", team="ash", number=1, value="ok", note=BORN), "note"),
        (says("roster_add", team="ash", player="a1", note=BORN), "note"),
        (says("enter_player", player="b9", name=f"Bo Yarrow {BORN}"), "name"),
        (says("case_statement", case="c1", note=BORN), "note"),
        (says("ruling", case="c1", value="denied", note=BORN), "note"),
        (says("withdraw", target="x", reason=BORN), "reason"),
        (says("initial", game="g1", team="ash", number=1, value="ok", initials="3/5/14"),
         "initials"),
    ],
)  # fmt: skip
def test_a_date_in_a_text_about_a_child(line: dict[str, str], column: str) -> None:
    (told,) = asked(line)
    assert told.startswith(f"{column}: '")


@pytest.mark.parametrize(
    "line",
    [
        says("half", game="g1", half=1, note=BORN),
        says("game_change", game="g1", reason=BORN, site="Green"),
        says("game_off", game="g1", reason=BORN),
        says("scale_out", game="g1", reason="the check weight of 10 lb read 10.5 lb", note=BORN),
        says("station", game="g1", reading=10, limit=95, note="10.5 lb, then 10 lb"),
        says("concern", game="g1", reason="other", note=BORN),
        says("weigh", game="g1", team="ash", number=1, name="Nils Born", value="ok"),
    ],
)
def test_a_date_that_is_about_no_child_and_the_scale_s_own_weights(line: dict[str, str]) -> None:
    assert asked(line) == []


@pytest.mark.parametrize("kind", ["game_off", "scale_out"])
def test_a_body_weight_is_asked_about_in_every_reason(kind: str) -> None:
    line = says(kind, game="g1", reason="a child of 140 lb fell on it")
    assert asked(line) == ["reason: '140 lb'"]


def test_a_folder_is_asked_about_all_at_once(folder: Folder) -> None:
    weigh = says("weigh", game="g1", team="ash", number=1, value="ok")
    lines = [weigh, weigh | {"note": "95 lb, born in May"}, weigh, weigh | {"note": "43 kg"}]
    players = TEXTS["players"].replace("Pip Quillfeather", "Pip Quillfeather (3/5/14)")
    contents = read_folder(folder(day=day(*lines), players=players))
    assert [(key, str(question)) for key, question in questions_of_folder(contents)] == [
        (("player", "a1"), "players.csv, line 2, name: '3/5/14'"),
        (("days/01.csv", 2), "days/01.csv, line 3, note: '95 lb', 'born'"),
        (("days/01.csv", 4), "days/01.csv, line 5, note: '43 kg'"),
    ]


@pytest.mark.parametrize("season", [SAMPLE, BASE])
def test_the_seasons_of_this_project_raise_no_question(season: Path) -> None:
    assert list(questions_of_folder(read_folder(season))) == []


@pytest.mark.parametrize("path", sorted(SEASONS.glob("*/*.txt")), ids=lambda path: path.parent.name)
def test_the_tiny_seasons_of_the_rules_raise_no_question(path: Path) -> None:
    lines = csv.DictReader(io.StringIO(read_case(path).lines))
    for line in lines:
        assert asked({column: cell for column, cell in line.items() if cell}) == []


def test_a_reason_that_is_typed() -> None:
    assert [str(one) for one in question_about("--reason", "born")] == ["--reason: 'born'"]
    assert question_about("--note", None) == []
