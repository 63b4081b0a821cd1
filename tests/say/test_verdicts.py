"""What a list says of a player who can still be weighed."""

from __future__ import annotations

from typing import Any, cast

import pytest

from ledger.derive.list_state import Decided, ListState
from ledger.say.verdicts import may_play


class Come:
    """Just what the sentence looks at."""

    def __init__(self, *listed: str, closed: bool = False, still: bool = True) -> None:
        self.row = {"may_play": "none", "listed": list(listed)}
        self.may_still_weigh, self.is_closed = still, closed


def said(one: Come, late_players: str) -> str:
    league: Any = {"weigh_in": {"late_players": late_players}}
    return may_play(cast("Decided", one), cast("ListState", one), league)


@pytest.mark.parametrize(
    ("late_players", "until"),
    [
        ("second_half", "the first half ends"),
        ("whole_game", "the first half ends"),
        ("none", "the weigh-in closes"),
    ],
)
def test_until_when_a_player_can_be_weighed(late_players: str, until: str) -> None:
    assert said(Come(), late_players) == f"Does not play unless weighed before {until}"


def test_who_cannot_be_weighed_any_more_or_is_not_asked_to_the_scale() -> None:
    never = said(Come(still=False), "second_half")
    assert "unless" not in never
    assert said(Come(closed=True), "none") == never
    assert said(Come("injured"), "second_half") == never
    assert "unless" in said(Come("injured", "over"), "second_half")
    assert "unless" in said(Come(closed=True), "second_half")
