"""Answers on the command line: as a table, JSON or CSV, as of a moment, within 80 columns."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from ledger.say.clock import local_day
from tests.commands.conftest import Ran, Run
from tests.conftest import SAMPLE

TABLE_LINES = SAMPLE / "games.csv", SAMPLE / "teams.csv"
GAMES, TEAMS = ([line.split(",")[0] for line in path.read_text().splitlines()[1:]]
                for path in TABLE_LINES)  # fmt: skip
GAME, TEAM = "acorn-1a", "newts"
ELIGIBILITY = ["game", "team", "player", "number", "may_play", "may_carry", "basis", "listed",
               "events"]  # fmt: skip
BOOK = ["team", "player", "number", "game", "mark", "initials", "by", "at"]
EXPOSURE = ["game", "team", "player", "number", "may_play", "required", "recorded", "short",
            "status"]  # fmt: skip
FINDINGS = ["rule", "game", "team", "player", "official", "side", "case", "at", "events", "detail"]
ANSWERS = [
    (["eligibility", GAME], ELIGIBILITY),
    (["book", TEAM], BOOK),
    (["exposure", GAME], EXPOSURE),
    (["findings", "--game", "acorn-2a"], FINDINGS),
]


def fits(ran: Ran) -> bool:
    assert (ran.status, ran.err) == (0, "")
    return [line for line in ran.out.splitlines() if len(line) > 80] == []


@pytest.mark.parametrize(("command", "keys"), ANSWERS, ids=lambda value: value[0])
def test_json_csv_and_table_say_the_same(
    run: Run, sample_ledger: Path, command: list[str], keys: list[str]
) -> None:
    ran = run(*command, "--store", sample_ledger, "--format", "json")
    rows = json.loads(ran.out)
    assert rows
    assert all(list(row) == keys for row in rows)  # sql/README.md, section 12
    shown = run(*command, "--store", sample_ledger, "--format", "csv").out
    cells = list(csv.reader(io.StringIO(shown)))
    games = cells[0].index("Game")
    assert [row[games] for row in cells[1:]] == [row["game"] or "" for row in rows]
    table = run(*command, "--store", sample_ledger)
    assert fits(table)
    named = {row["player"] for row in rows if row["player"]}
    assert [player for player in named if player not in table.out] == []


def test_numbers_and_lists_in_csv(run: Run, sample_ledger: Path) -> None:
    answer = ["eligibility", "acorn-1a", "--store", sample_ledger, "--format"]
    rows = json.loads(run(*answer, "json").out)
    for row, cells in zip(rows, csv.DictReader(io.StringIO(run(*answer, "csv").out)), strict=True):
        assert cells["No."] == ("" if row["number"] is None else str(row["number"]))
        assert cells["Listed"].split() == row["listed"]
        assert cells["Entries"].split() == row["events"]


@pytest.mark.parametrize("game", GAMES)
def test_every_game_fits_80_columns(run: Run, sample_ledger: Path, game: str) -> None:
    assert fits(run("eligibility", game, "--store", sample_ledger))


@pytest.mark.parametrize("team", TEAMS)
def test_every_book_fits_80_columns(run: Run, sample_ledger: Path, team: str) -> None:
    ran = run("book", team, "--store", sample_ledger)
    assert fits(ran)
    assert "Mark" in ran.out.splitlines()[0]


@pytest.mark.parametrize(
    "command",
    [["status"], ["findings"], ["exposure"], ["exposure", "acorn-2b"], ["rules"], ["audit"]],
    ids=" ".join,
)
def test_every_answer_about_the_season_fits_80_columns(
    run: Run, sample_ledger: Path, command: list[str]
) -> None:
    assert fits(run(*command, "--store", sample_ledger))


@pytest.mark.parametrize("command", [["changes", GAME], ["rules"], ["why", GAME], ["audit"]])
def test_what_is_told_in_sentences_is_text_and_no_table(
    run: Run, sample_ledger: Path, command: list[str]
) -> None:
    ran = run(*command, "--store", sample_ledger, "--format", "table")
    assert ran.status == 2
    assert "'table' is not one of 'text', 'json'" in ran.err


def test_nothing_is_told_by_colour(run: Run, sample_ledger: Path) -> None:
    for command, _ in ANSWERS:
        assert "\x1b" not in run(*command, "--store", sample_ledger).out


def may_play(ran: Ran) -> dict[str, str]:
    assert ran.err == ""
    return {row["player"]: row["may_play"] for row in json.loads(ran.out)}


def asked(run: Run, ledger: Path, *moment: str) -> dict[str, str]:
    return may_play(run("eligibility", GAME, "--store", ledger, "--format", "json", *moment))


def test_as_of_is_local_time_or_has_an_offset(run: Run, sample_ledger: Path) -> None:
    """The kickoff is at 09:00 CDT, which is UTC-5; the visitors are weighed first."""
    half_way = asked(run, sample_ledger, "--as-of", "2026-09-05 08:40")
    assert half_way == asked(run, sample_ledger, "--as-of", "2026-09-05T08:40:00.000-05:00")
    assert half_way == asked(run, sample_ledger, "--as-of", "2026-09-05T13:40Z")
    before = asked(run, sample_ledger, "--as-of", "2026-09-05 07:00")
    whole = asked(run, sample_ledger)
    assert set(before.values()) == {"none"}
    told = [list(answer.values()).count("none") for answer in (before, half_way, whole)]
    assert told[0] > told[1] > told[2]


@pytest.mark.parametrize("words", [["book", TEAM], ["findings"]])
def test_known_at_before_the_ledger_began_says_so(
    run: Run, sample_ledger: Path, words: list[str]
) -> None:
    early = run(*words, "--known-at", "2020-01-01 10:00", "--store", sample_ledger)
    assert early.err.startswith("The first entry came into the ledger on ")
    assert run(*words, "--known-at", "2999-01-01 10:00", "--store", sample_ledger).err == ""


def test_known_at_goes_by_the_ledgers_clock(run: Run, sample_ledger: Path) -> None:
    assert asked(run, sample_ledger, "--known-at", "2026-01-01 00:00") == {}  # not held yet
    assert asked(run, sample_ledger, "--known-at", "2999-01-01T00:00Z") == asked(run, sample_ledger)


@pytest.mark.parametrize(
    ("command", "option"),
    [
        (["eligibility", GAME], "--as-of"),
        (["eligibility", GAME], "--known-at"),
        (["book", TEAM], "--as-of"),
        (["book", TEAM], "--known-at"),
        (["changes", GAME], "--from"),
        (["changes", GAME, "--from", "2026-09-05 08:00"], "--to"),
    ],
)
@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", 'Enter a time such as 8:45, "9/5/2026 8:45 am" or 2026-09-05 08:45'),
        ("yesterday", 'Enter a time such as 8:45, "9/5/2026 8:45 am" or 2026-09-05 08:45'),
        ("2026-09-05", "Enter a time such as"),
        ("2026-09-05 24:00", "Enter a calendar date and a time from 00:00:00"),
        ("2026-03-08 02:30", "Enter this local time with its offset: it does not exist in Amer"),
        ("2026-11-01 01:30", "Enter this local time with its offset: it occurs twice in America"),
    ],
)
def test_a_moment_that_cannot_be_understood(
    run: Run, sample_ledger: Path, command: list[str], option: str, text: str, hint: str
) -> None:
    ran = run(*command, "--store", sample_ledger, option, text)
    assert (ran.status, ran.out) == (2, "")
    first, second = ran.err.splitlines()
    assert first == f"{option}: found '{text}'"
    assert second.startswith(hint)


TWO_GAMES = "Did you mean acorn-1a or acorn-1b?"
ACRON = "Did you mean acorn-1a or acorn-7a?"


@pytest.mark.parametrize(
    ("command", "told", "hint"),
    [
        (
            ["eligibility", "acorn-1"],
            "no game acorn-1 in this",
            TWO_GAMES,
        ),
        (["eligibility", "acron-1a"], "no game acron-1a in this", ACRON),
        (["eligibility", "zz"], "no game zz in this ledger", "weighbook status lists the games."),
        (["book", "newtz"], "no team newtz in this ledger", "Did you mean newts?"),
        (["book", "glimmerfen newt"], "no team glimmerfen newt in", "Glimmerfen Newts is newts."),
        (["book", "zz"], "no team zz in this ledger", "weighbook status lists the teams."),
        (["exposure", "acorn-1"], "no game acorn-1 in this", TWO_GAMES),
        (["findings", "--game", "acron1a"], "no game acron1a in this", ACRON),
        (["findings", "--week", "1", "--game", "acron1a"], "no game acron1a in this", ACRON),
        (["findings", "--for", "registra"], "no finding is for", "Did you mean registrar?"),
        (["monday", "--association", "quilowick"], "no association q", "Did you mean quillowick?"),
        (["findings", "--team", "marmot"], "no team marmot in this", "Did you mean marmots?"),
        (
            ["findings", "--team", "newts", "--game", "acorn-7b"],
            "newts does not play in acorn-7b",
            "Teams of acorn-7b: dormice and quokkas.",
        ),
        (["findings", "--rule", "plays-short"], "no rule plays-short", "Did you mean plays_short?"),
        (
            ["why", "acorn-2a", "--team", "newt", "--number", "62"],
            "newt does not play in acorn-2a",
            "Teams of acorn-2a: newts and quokkas.",
        ),
        (["prove", "--game", "acron1a", "--to", "x"], "no game acron1a", ACRON),
        (["print", "blank-list", "newtz", "--to", "x.pdf"], "no team newtz", "Did you mean newts?"),
    ],
)
def test_what_the_ledger_does_not_know(
    run: Run, sample_ledger: Path, command: list[str], told: str, hint: str
) -> None:
    ran = run(*command, "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    first, second = ran.err.splitlines()
    assert first.startswith(told)
    assert second == hint


def test_status_says_what_is_held(run: Run, sample_ledger: Path) -> None:
    text = run("status", "--store", sample_ledger).out
    assert text.startswith(
        "Invented Meadows Youth Football League, season 2026 (America/Chicago)\n"
    )
    assert re.search(r"^Chain office: 7,346 events; its head is [0-9a-f]{16}…$", text, re.MULTILINE)
    assert "\nSep 5, 2026\n  acorn-1a: 9:00 AM CDT, Glimmerfen Meadow\n" in text
    assert [game for game in GAMES if f"\n  {game}: " not in text] == []
    assert [team for team in TEAMS if f"\n{team} " not in text] == []


def test_the_book_shows_the_local_day_of_a_mark(run: Run, sample_ledger: Path) -> None:
    def answer(form: str) -> Any:
        return run("book", TEAM, "--store", sample_ledger, "--format", form).out

    first = json.loads(answer("json"))[0]
    line = answer("table").splitlines()[2].split()
    assert line[:5] == [str(first["number"]), first["player"], first["mark"], first["initials"],
                        first["game"]]  # fmt: skip
    assert line[-3:] == local_day(first["at"], "America/Chicago").split()


def test_a_spoilt_ledger_is_told_and_points_at_the_audit(run: Run, sample_copy: Path) -> None:
    import sqlite3

    connection = sqlite3.connect(sample_copy)
    connection.execute("drop trigger event_update")
    connection.execute("update event set body = '{' where kind in ('team', 'game')")
    connection.commit()
    connection.close()
    for command in (["status"], ["eligibility", GAME], ["book", TEAM]):
        ran = run(*command, "--store", sample_copy)
        assert ran.status == 1
        assert "is not as it was written" in ran.err
        assert "weighbook audit says what was changed" in ran.err
