"""Each code has one phrase; other forms derive from it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

import ledger
from ledger.derive.signatures import State
from ledger.derive.why_facts import Standing
from ledger.errors import ReportError
from ledger.record.authority import role_name
from ledger.record.fields import ROLES
from ledger.record.statements import KINDS
from ledger.review.held import Verdict
from ledger.say import codes

ROOT = Path(ledger.__file__).parent
TABLES = [one for one in vars(codes).values() if isinstance(one, codes.Codes)]


def _values(kind: str, field: str) -> set[object]:
    return set(get_args(KINDS[kind].model_fields[field].annotation))


def test_every_code_has_words() -> None:
    assert set(codes.REASONS) == _values("list", "reason")
    assert set(codes.VALUES) == _values("initial", "value")
    assert set(codes.HALVES) == _values("plays", "half")
    assert set(codes.CASES) == _values("case_open", "reason")
    assert set(codes.EXCUSES) == _values("excuse", "reason")
    assert set(codes.CONCERNS) == _values("concern", "reason")
    assert set(codes.SIGNATURES) == set(get_args(State))
    assert set(codes.VERDICTS) == set(get_args(Verdict))
    assert set(codes.STATEMENTS) == set(get_args(Standing))
    assert set(codes.BASES) == {"none", "declared", "scale", "late_scale", "book", "ruling"}


def test_a_phrase_takes_other_verbs() -> None:
    assert [codes.plays(code) for code in ("full", "second_half", "none")] == [
        "plays the whole game",
        "plays the second half only",
        "does not play",
    ]
    assert codes.plays("second_half", "may play") == "may play the second half only"
    assert codes.plays("none", "would have played", "would not have played") == (
        "would not have played"
    )
    assert codes.may_carry("undecided") == "Carrying is not decided"
    assert codes.carries("no", "could have carried", "could not have carried") == (
        "could not have carried the ball"
    )


@pytest.mark.parametrize(
    ("play", "carry", "said"),
    [
        ("full", "yes", "plays the whole game and may carry the ball"),
        ("full", "no", "plays the whole game but does not carry the ball"),
        ("second_half", "undecided", "plays the second half only, but carrying is not decided"),
        ("none", "no", "does not play"),
    ],
)
def test_play_and_carry_in_one_phrase(play: str, carry: str, said: str) -> None:
    assert codes.both(play, carry, codes.plays(play), codes.carries(carry)) == said


def test_a_listing_in_each_place() -> None:
    assert codes.listed(["absent", "equipment"]) == "listed as absent and for incomplete gear"
    assert codes.listed([]) == ""
    assert codes.reason("equipment") == "Incomplete gear"
    assert codes.case_heading("weigh") == "Weigh-in"


def test_roles_have_their_names_of_the_trade() -> None:
    assert [role_name(role) for role in ROLES] == [
        "weighmaster",
        "coach",
        "play counter",
        "site official",
        "head official",
        "registrar",
        "association president",
        "division president",
        "board member",
    ]
    assert codes.role_held("coach", "newts", "acorn-1a") == "coach of newts in acorn-1a"


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.what)
def test_an_unknown_code_is_refused_with_the_known_ones(table: codes.Codes) -> None:
    with pytest.raises(ReportError, match=f"unknown {table.what}: 'heavy'") as caught:
        table["heavy"]
    assert all(str(code) in caught.value.hint for code in table)


def test_words_never_speak_of_a_body() -> None:
    """Privacy and kindness: the list is about a limit and a game, not about a child's body."""
    said = " ".join(text for table in TABLES for text in table.values()).lower()
    for word in ("weight", "heavy", "fat", "pounds", "lb", "fail", "disqualif"):
        assert word not in said


CODES = {str(code) for table in TABLES for code in table} | {"yes", "no", "undecided", *ROLES}


def _tables_of_codes(source: str) -> Iterator[str]:
    """Find dictionaries of texts with two or more keys, all codes of `ledger.say`."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Dict) and len(node.keys) > 1:
            keys = [str(key.value) for key in node.keys if isinstance(key, ast.Constant)]
            texts = [getattr(one, "value", None) for one in node.values]
            all_codes = len(keys) == len(node.keys) and CODES.issuperset(keys)
            if all_codes and all(isinstance(text, str) for text in texts):
                yield ast.unparse(node)


@pytest.mark.parametrize("room", ["papers", "actions", "commands", "frames.py"])
def test_no_room_below_words_codes_of_its_own(room: str) -> None:
    files = [ROOT / room] if room.endswith(".py") else sorted((ROOT / room).rglob("*.py"))
    for file in files:
        assert [*_tables_of_codes(file.read_text("utf-8"))] == [], file


def test_a_table_of_codes_would_be_found() -> None:
    assert [*_tables_of_codes('HALVES = {1: "first", 2: "second"}')]
    assert [*_tables_of_codes('TABLE = {"number": "No.", "short": "Short"}')] == []
    assert [*_tables_of_codes('def f(code):\n    return {"yes": "may", "no": "may not"}[code]')]
