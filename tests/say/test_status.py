"""What is missing in a game, in words: one of it, and two."""

from __future__ import annotations

import pytest

from ledger.derive.game_state import WEIGH_IN
from ledger.say.status import missing

WORDS = {
    "book_not_initialed": "1 book mark, 2 book marks",
    "carrier_undecided": "1 decision on carrying, 2 decisions on carrying",
    "list_not_countersigned": "1 signature, 2 signatures",
    "listed_over_weighed_ok": "1 line to strike off, 2 lines to strike off",
    "no_weighmaster": "1 weighmaster at the scale, 2 weighmasters at the scale",
    "noncarrier_not_listed": "1 line for over, 2 lines for over",
    "noncarrier_not_striped": "1 stripe, 2 stripes",
    "not_struck_off": "1 line to strike off, 2 lines to strike off",
    "plays_not_counted": "1 team's plays, 2 teams' plays",
    "plays_short": "1 player short of plays, 2 players short of plays",
    "unaccounted": "1 player not accounted for, 2 players not accounted for",
    WEIGH_IN: "1 weigh-in, 2 weigh-ins",
}


@pytest.mark.parametrize("rule", WORDS)
def test_one_and_two(rule: str) -> None:
    assert f"{missing({rule: 1})}, {missing({rule: 2})}" == WORDS[rule]


def test_lines_to_strike_off_are_counted_together() -> None:
    steps = {"not_struck_off": 1, "plays_short": 2, "listed_over_weighed_ok": 1}
    assert missing(steps) == "2 lines to strike off, 2 players short of plays"
    assert missing({"half_not_stated": 1}) == "1 end of the first half"
    assert missing({}) == ""
