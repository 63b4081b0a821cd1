"""weighbook ready: what to settle before a day of games, and what to print."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Ran, Run
from tests.tiny import day, load, says


@pytest.fixture
def ledger(folder: Callable[..., Path], tmp_path: Path) -> Path:
    """`wa` and `we` are to weigh in g2; the book has marks of g1, all but a2's."""
    lines = [
        says("assign", at="2026-09-07T12:00", by="rg", game="g2", team=team, value=who)
        for team, who in (("ash", "wa"), ("elm", "we"))
    ]
    marks = (("ash", 1, "we"), ("elm", 1, "wa"), ("elm", 2, "wa"))
    lines += [
        says("initial", by=by, game="g1", team=team, number=number, value="ok", initials="XX")
        for team, number, by in marks
    ]
    store = tmp_path / "season.weighbook"
    load(store, folder(day=day(*lines)))
    return store


@pytest.fixture
def shown(run: Run, ledger: Path) -> Callable[..., Ran]:
    return lambda *words: run("ready", *words, "--as-of", "2026-09-10 12:00")


def test_the_next_day_with_games(shown: Callable[..., Ran]) -> None:
    ran = shown()
    assert ran.status == 0
    assert ran.out == (
        "Week 2: Sat, Sep 12, 2026\n\n"
        "g2: elm at ash, 10:00 AM CDT, no site yet\n"
        "  ash\n"
        "    – No mark in the book yet: 2.\n"
        "      If the scale breaks, someone has to rule on who may carry.\n\n"
        "1 thing to settle in 1 game.\n"
        "Nobody has a key yet, so lists are signed in ink.\n"
        "Papers for the day:\n"
        "  weighbook print all --week 2 --to week-2\n"
    )
    assert shown("--week", "2").out == shown("--date", "2026-09-12").out == ran.out


def test_a_command_names_the_player_where_only_one_is_meant(
    run: Run, folder: Callable[..., Path], tmp_path: Path
) -> None:
    adds = [
        says("roster_add", by="rg", team=team, player=player, number=number)
        for team, player, number in (("ash", "u1", None), ("elm", "a1", 5), ("elm", "a2", 5))
    ]
    load(tmp_path / "season.weighbook", folder(day=day(*adds)))
    told = run("ready", "--week", "2").out.splitlines()
    typed = [line.strip() for line in told if "--player" in line]
    change, drop = "weighbook record number_change --team", "weighbook record roster_drop --team"
    assert typed == [
        f"{change} ash --player u1 --number N --by WHO",
        *(f"{drop} ash --player {player} --by WHO" for player in ("a1", "a2")),
        f"{change} elm --player PLAYER --number N --by WHO",
        *(f"{drop} elm --player {player} --by WHO" for player in ("a1", "a2")),
    ]


def test_keys_where_others_have_one(run: Run, shown: Callable[..., Ran], tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("summer berries\n")
    assert run("enroll", "we", "--by", "rg", "--passphrase-file", secret).status == 0
    told = shown().out
    assert "    – wa: Assigned, without a key to sign with.\n      weighbook enroll wa" in told
    assert "– we:" not in told
    assert "Nobody has a key" not in told
    assert "without a key" not in run("ready", "--known-at", "2026-01-01 12:00", "--week", "1").out


def test_a_game_that_is_off_or_weighed(run: Run, shown: Callable[..., Ran]) -> None:
    off = ("--game", "g2", "--by", "rg", "--reason", "fog", "--entered", "2026-09-09 12:00")
    assert run("record", "game_off", *off, "--at", "2026-09-09 12:00").status == 0
    told = shown().out
    assert "no site yet\n  Called off.\n\nNothing to settle in 0 games.\n" in told
    weigh = ("--game", "g1", "--team", "ash", "--number", "1", "--by", "we", "--value", "ok")
    assert run("record", "weigh", *weigh).status == 0
    assert "Green\n  Already weighed.\n" in run("ready", "--week", "1").out


def test_for_programs(shown: Callable[..., Ran]) -> None:
    found = json.loads(shown("--format", "json").out)
    (game,) = found["games"]
    assert (found["week"], found["date"], game["kickoff"]) == (
        2,
        "2026-09-12",
        "2026-09-12T15:00:00.000Z",
    )
    (row,) = csv.DictReader(io.StringIO(shown("--format", "csv").out))
    (item,) = game["items"]
    assert [row[key] or None for key in ("Rule", "Game", "Team", "No.", "What was found")] == [
        item[key] for key in ("rule", "game", "team", "number", "detail")
    ]
    assert row["Rule"] == "mark_missing"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--week", "3"), "there is no week 3 in this season\nWeek 1 is 2026-09-05;"),
        (("--week", "1", "--date", "2026-09-05"), "Give --week or --date, not both."),
    ],
)
def test_what_cannot_be_answered(
    shown: Callable[..., Ran], words: tuple[str, ...], told: str
) -> None:
    ran = shown(*words)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
