"""A correction of tables before it is made, as it stands on the screen."""

from __future__ import annotations

from typing import Any

from ledger.derive.corrected import AnswersChanged, Changed
from ledger.record.accepted import Accepted
from ledger.record.reading import Place
from ledger.say.corrections import SHOWN, correction_lines
from ledger.say.lines import Line
from ledger.store.correcting import Correction, Corrections
from ledger.store.loaded import Difference

PLAYER = Correction(
    Accepted("player", {}, team="ash", player="a1"),
    Place("players.csv", 3),
    "office:9",
    (Difference("number", "12", "21"),),
)
FINDING: dict[str, Any] = dict.fromkeys(("game", "team", "player", "official", "side", "case"))


def lines(answers: AnswersChanged, *, new_rows: int = 0) -> list[Line]:
    return correction_lines(Corrections((PLAYER,), new_rows), answers, "America/Chicago")


def test_the_row_what_becomes_of_it_and_the_answers_that_change() -> None:
    answers = AnswersChanged(
        games=(Changed("g1", None, None, None, {"site": None}, {"site": "Green"}),),
        players=(
            Changed("g1", "ash", "a1", 12, {"number": 21}, {"number": 12}),
            Changed("g1", "ash", "a2", None, None, {"number": None}),
            Changed("g1", "ash", "a3", 3, {"number": 3}, None),
        ),
        gone=(FINDING | {"rule": "number_twice", "game": "g1", "team": "ash"},),
        new=(FINDING | {"rule": "case_overdue", "case": "c1"},),
    )
    assert lines(answers, new_rows=1) == [
        Line("1 row to correct, for the whole season:"),
        Line("players.csv, line 3 (a1)", 2),
        Line("number: 21 becomes 12", 4, 6),
        Line("1 new row is left for the next weighbook load."),
        Line(""),
        Line("Answers that change:"),
        Line("1 game:", 2),
        Line("g1: no site becomes Green", 4, 6),
        Line("3 players:", 2),
        Line("g1 ash 12 (a1): number 21 becomes number 12", 4, 6),
        Line("g1 ash (a2): new here", 4, 6),
        Line("g1 ash 3 (a3): no longer here", 4, 6),
        Line("1 finding, no longer found:", 2),
        Line("g1 ash: number_twice", 4, 6),
        Line("1 finding, new:", 2),
        Line("Without a game c1: case_overdue", 4, 6),
    ]


def test_a_long_list_ends_with_how_many_are_left() -> None:
    found = tuple(FINDING | {"rule": "plays_short", "player": f"a{n}"} for n in range(SHOWN + 2))
    *_, last, rest = lines(AnswersChanged((), (), (), found))
    assert last == Line(f"Without a game a{SHOWN - 1}: plays_short", 4, 6)
    assert rest == Line("… and 2 more", 4)


def test_no_answer_changes() -> None:
    assert lines(AnswersChanged((), (), (), ()))[-1] == Line("No answer changes.")
