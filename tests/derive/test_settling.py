"""What is to be settled before a list is signed: each tiny morning beside the findings it names."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import rules
from ledger.derive.scope import read_game
from ledger.derive.season_open import CASES, GAMES
from ledger.derive.season_open import RULES as OPEN_RULES
from ledger.derive.settling import CODES, Settling, read_settling
from ledger.say import codes
from tests.review.cases_of import opens, season
from tests.tiny import says

A1 = {"game": "g1", "team": "ash", "player": "a1"}
A2 = {"game": "g1", "team": "ash", "player": "a2"}
WEIGHED = says("weigh", **A1, value="ok")
OK, OVER = says("weigh", **A2, value="ok"), says("weigh", **A2, value="over")
LISTED, ABSENT, HURT = (says("list", **A2, reason=one) for one in ("over", "absent", "injured"))
STRIPE = says("stripe", **A2)
HALF = says("half", at="2026-09-05T10:40", game="g1", half=1, by="ho")
AFTER = says("late_weigh", **(A2 | {"at": "2026-09-05T10:50"}), value="over")
RULED = [opens(), says("ruling", at="2026-09-05T09:30", **A2, case="c1", by="so", value="decided",
                       may_carry="yes")]  # fmt: skip
KEPT = [RULED[0], RULED[1] | {"may_carry": "no"}]


def settling_of(tmp_path: Path, *lines: Mapping[str, str]) -> Settling:
    with season(tmp_path, *lines) as store:
        return read_settling(Engine(read_game(store, "g1")), "g1", "ash")


@pytest.mark.parametrize(
    ("lines", "about_a2"),
    [
        ([OK], []),
        ([], ["unaccounted"]),
        ([ABSENT], []),
        ([ABSENT, OK], ["not_struck_off"]),
        ([ABSENT, OK, says("strike_off", **A2)], []),
        ([HURT, OK], ["injured_but_weighed"]),
        ([LISTED, OK], ["listed_over_weighed_ok"]),
        ([OVER], ["noncarrier_not_listed", "noncarrier_not_striped"]),
        ([OVER, LISTED], ["noncarrier_not_striped"]),
        ([OVER, LISTED, STRIPE], []),
        ([OK, STRIPE], ["carrier_striped"]),
        ([says("weigh", **A2, value="no_scale")], ["carrier_undecided"]),
        # A ruling lets the player carry: no line and no stripe.
        ([OVER, *RULED], []),
        # A ruling keeps the player from carrying: the line and the stripe stay.
        ([LISTED, OK, STRIPE, *KEPT], []),
        # Came after the half and does not play: nothing to strike off, nothing to stripe.
        ([HALF, ABSENT, AFTER], []),
        # The same without a line: both sides are told, and nobody is asked.
        ([HALF, AFTER], [""]),
        ([says("game_off", game="g1", by="so", reason="rain")], []),
    ],
)
def test_what_is_to_be_settled(
    lines: list[Mapping[str, str]], about_a2: list[str], tmp_path: Path
) -> None:
    found = settling_of(tmp_path, WEIGHED, *lines)
    assert [(one.decided.row["player"], one.code) for one in found.items] == [
        ("a2", code) for code in about_a2
    ]
    assert list(found.codes) == sorted(filter(None, about_a2))


def test_every_code_is_a_rule_with_words() -> None:
    """So `findings --explain` knows it, and a paper can say it."""
    assert {*CODES} <= {*rules()}
    assert {*codes.OPEN} == {*CODES}
    assert {*codes.OPEN_SEASON} == {CASES, GAMES, *OPEN_RULES}
