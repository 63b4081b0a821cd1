"""What is to be settled about a list, and what was open when it was signed, in words."""

from __future__ import annotations

from pathlib import Path

from ledger.derive.engine import Engine
from ledger.derive.scope import read_game
from ledger.derive.settling import read_settling
from ledger.say.settling import despite, settle_lines
from ledger.store.league import league_data
from tests.review.cases_of import season
from tests.tiny import says

A1 = {"game": "g1", "team": "ash", "player": "a1"}
A2 = {"game": "g1", "team": "ash", "player": "a2"}


def test_a_code_of_a_stranger_is_left_out() -> None:
    assert despite({"despite": ["unaccounted", "unheard_of", 7]}) == "neither weighed nor listed"
    assert despite({"despite": ["unheard_of"]}) == ""
    assert despite({"despite": "unaccounted"}) == ""
    assert despite({}) == ""


def test_words_of_a_code_and_words_of_a_verdict(tmp_path: Path) -> None:
    lines = [
        says("weigh", **A1, value="ok"),
        says("list", **A1, reason="over"),
        says("weigh", **A2, value="no_scale"),
    ]
    with season(tmp_path, *lines) as store:
        settling = read_settling(Engine(read_game(store, "g1")), "g1", "ash")
        league = league_data(store)
    names = {"a1": "Pip Quillfeather", "a2": "a2"}
    told = settle_lines(settling, league, "America/Chicago", names.__getitem__)
    listed, undecided = sorted(told)
    assert listed == "No. 1 Pip Quillfeather: listed as over, but weighed ok. Strike off the line."
    assert undecided.startswith("No. 2: carrying is not decided: no usable scale, and no mark")
