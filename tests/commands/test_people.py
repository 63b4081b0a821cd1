"""weighbook people: who is trained, who has a key, who weighs where."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Ran, Run
from tests.tiny import LEAGUE, day, load, says

TRAINED = f"{LEAGUE}[weigh_in]\ntraining_valid_days = 30\n"


@pytest.fixture
def shown(run: Run, folder: Callable[..., Path], tmp_path: Path) -> Callable[..., Ran]:
    """`people …`; `wa` is trained and to weigh in g2, `so` is to weigh for g1 only."""
    lines = day(
        says("trained", at="2026-08-20T19:00", by="rg", value="wa"),
        says("assign", at="2026-08-30T12:00", by="rg", game="g2", team="ash", value="wa"),
        says("appoint", at="2026-08-30T12:01", by="rg", to="weighmaster", team="elm", value="so",
             game="g1"),
        says("weigh", by="wa", game="g1", team="elm", number=1, value="ok"),
    )  # fmt: skip
    store = tmp_path / "l.weighbook"
    load(store, folder(league=TRAINED, day=lines))
    secret = tmp_path / "secret.txt"
    secret.write_text("summer berries\n")
    enroll = ("enroll", "we", "--by", "rg", "--passphrase-file", secret, "--store", store)
    assert run(*enroll).status == 0
    return lambda *words: run("people", *words, "--store", store)


def lines(ran: Ran) -> list[str]:
    assert ran.status == 0, ran.err
    words = (" ".join(line.split()) for line in ran.out.splitlines())
    return [line for line in words if not line.startswith("--")]


def test_weighmasters(shown: Callable[..., Ran]) -> None:
    told = lines(shown("--role", "weighmaster", "--names", "--as-of", "2026-09-01 12:00"))
    assert told[0] == "Official Name Roles Trained until Key Weighs next"
    assert told[1:] == [
        "so Ada Whinberry site official, weighmaster of elm in g1 – – –",
        "wa Ana Thistlewood weighmaster of ash Sep 19, 2026 – g2",
        "we Ivo Larkspur weighmaster of elm – season –",
    ]
    later = shown("--team", "ash", "--as-of", "2026-09-19 19:01").out
    assert "ran out Sep 19, 2026" in later
    assert "g2" not in later
    assert "Thistlewood" not in later


def test_one_person(shown: Callable[..., Ran]) -> None:
    assert lines(shown("wa", "--as-of", "2026-09-10 12:00")) == [
        "wa",
        "Weighmaster of ash.",
        "Trained on Aug 20, 2026; valid until Sep 19, 2026.",
        "No key yet. To make one: weighbook enroll wa --by WHO",
        "",
        "Game Kickoff Assigned for At scale Weighed Initialed Listed Signed",
        "g1 Sep 5, 2026, 10:00 AM CDT – yes 1 – – –",
        "g2 Sep 12, 2026, 10:00 AM CDT ash – – – – –",
    ]
    told = lines(shown("we", "--names"))
    assert told[0] == "we – Ivo Larkspur"
    assert told[-3:] == [
        "No training recorded yet. Someone else has to record it.",
        "Has a key for the season.",
        "Not assigned to any weigh-in, and at none so far.",
    ]


def test_for_programs(shown: Callable[..., Ran]) -> None:
    (wa,) = json.loads(shown("wa", "--format", "json").out)
    assert wa == {
        "official": "wa",
        "roles": ["weighmaster of ash"],
        "trained_at": "2026-08-21T00:00:00.000Z",
        "trained_until": "2026-09-20T00:00:00.000Z",
        "has_key": False,
        "key_games": [],
        "assigned": ["g2"],
        "worked": ["g1"],
        "key_held": None,
    }
    so = shown("so", "--format", "csv").out.splitlines()[1]
    assert so == 'so,"site official; weighmaster of elm in g1",,,,,false,,,,'


def test_a_key_that_came_later_was_not_there_at_known_at(shown: Callable[..., Ran]) -> None:
    assert json.loads(shown("we", "--format", "json").out)[0]["has_key"]
    known = shown("we", "--known-at", "2026-08-01 00:00", "--format", "json").out
    assert json.loads(known) == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("wx",), "no official wx in this ledger"),
        (("--role", "weighmastr"), "no role weighmastr\nDid you mean weighmaster?"),
        (("--team", "asch"), "no team asch in this ledger\nDid you mean ash?"),
    ],
)
def test_what_is_unknown_is_refused(
    shown: Callable[..., Ran], words: tuple[str, ...], told: str
) -> None:
    ran = shown(*words)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
