"""What a list says of a player who can still be weighed."""

from __future__ import annotations

from typing import Any, cast

import pytest

from ledger.derive.list_state import Decided, ListState
from ledger.say.verdicts import may_play, not_yet

NOT_YET = "Not weighed: does not play yet"


class Come:
    """Just what the sentence looks at."""

    def __init__(self, *listed: str, closed: bool = False, still: bool = True) -> None:
        self.row = {"may_play": "none", "listed": list(listed)}
        self.may_still_weigh, self.is_closed = still, closed
        self.is_scale_out = False


def said(one: Come, late_players: str) -> str:
    return may_play(cast("Decided", one), cast("ListState", one), league(late_players))


def league(late_players: str) -> Any:
    return {"weigh_in": {"late_players": late_players}}


@pytest.mark.parametrize(
    ("late_players", "late"),
    [
        ("second_half", "Weighed before the first half ends: second half."),
        ("whole_game", "Weighed before the first half ends: plays from then on."),
        ("none", "Weighed later: does not play."),
    ],
)
def test_until_when_a_player_can_be_weighed(late_players: str, late: str) -> None:
    assert said(Come(), late_players) == NOT_YET
    state = cast("ListState", Come())
    on_time = "Weighed before the weigh-in closes: whole game."
    assert not_yet(state, league(late_players)) == f"{on_time} {late}"
    closed = cast("ListState", Come(closed=True))
    assert not_yet(closed, league(late_players)) == late


def test_who_cannot_be_weighed_any_more_or_is_not_asked_to_the_scale() -> None:
    never = said(Come(still=False), "second_half")
    assert never == "Does not play"
    assert said(Come(closed=True), "none") == never
    assert said(Come("injured"), "second_half") == never
    assert said(Come("injured", "over"), "second_half") == NOT_YET
    assert said(Come(closed=True), "second_half") == NOT_YET
