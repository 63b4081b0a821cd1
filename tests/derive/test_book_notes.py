"""Which rulings stand beside a player's mark."""

from __future__ import annotations

from pathlib import Path

from ledger.derive.book_notes import MarkNote, mark_notes
from ledger.derive.engine import Engine
from ledger.derive.scope import read_book_notes
from tests.review.cases_of import adds, opens, season
from tests.tiny import TEXTS

RULES = {"kind": "ruling", "by": "so", "game": "g1", "team": "ash", "value": "decided"}
OTHER_DIVISION = {
    "divisions": TEXTS["divisions"] + "d2,Two,120\n",
    "teams": TEXTS["teams"] + "fir,,d2,Firs\noak,,d2,Oaks\n",
    "games": TEXTS["games"] + "g3,d2,2026-09-05T12:00,,fir,oak\n",
}


def test_two_players_ruled_on_in_one_game(tmp_path: Path) -> None:
    lines = [
        opens(),
        adds(**RULES, player="a2", may_carry="yes"),
        adds(**RULES, player="a1", may_carry="no"),
    ]
    with season(tmp_path, *lines) as store:
        assert mark_notes(Engine(read_book_notes(store, "ash")), "ash") == {
            "a1": (MarkNote("ruled", "g1", "no"),),
            "a2": (MarkNote("ruled", "g1", "yes"),),
        }


def test_a_ruling_in_another_division_says_nothing_of_this_book(tmp_path: Path) -> None:
    """A player has one book a division; the limit of the other is another one."""
    there = RULES | {"game": "g3", "team": "fir"}
    lines = [opens(), adds(**there, player="a2", may_carry="yes")]
    with season(tmp_path, *lines, **OTHER_DIVISION) as store:
        assert mark_notes(Engine(read_book_notes(store, "ash")), "ash") == {}
