"""Which corrections of tables may be behind a change of a player's answer."""

from __future__ import annotations

from dataclasses import replace

from ledger.chain.event import Event
from ledger.derive.corrections import behind_a_change, corrections_in
from tests.short_season import short_season
from tests.stored import stored_events

ROW = Event("office", 1, b"", "", "team", "2026-09-05T14:00:00.000Z", {"corrects": "office:2"})
LEAGUE = replace(ROW, kind="league")
OFFICIAL = replace(ROW, kind="official")
OTHER_GAME = replace(ROW, kind="game", game="g2")
GAME = replace(ROW, kind="game", game="g1")
PLAYER = replace(ROW, kind="player", player="a1")
OTHER_PLAYER = replace(ROW, kind="player", player="a2")
TEAM = replace(ROW, team="ash")


def behind(*corrections: Event, is_explained: bool = False) -> tuple[Event, ...]:
    return behind_a_change(corrections, "g1", "a1", is_explained=is_explained)


def test_those_of_the_player_and_the_game_come_first() -> None:
    assert behind(LEAGUE, PLAYER, GAME, OTHER_PLAYER) == (PLAYER, GAME)
    assert behind(LEAGUE, PLAYER, is_explained=True) == (PLAYER,)


def test_a_change_that_something_else_explains_asks_no_further() -> None:
    assert behind(LEAGUE, OFFICIAL, is_explained=True) == ()


def test_only_what_can_change_any_game_explains_the_rest() -> None:
    found = behind(LEAGUE, TEAM, OFFICIAL, OTHER_PLAYER, OTHER_GAME)
    assert found == (LEAGUE, OFFICIAL, OTHER_GAME)


def test_an_event_that_only_shows_a_correction_is_none() -> None:
    """As a signed list might, in a stranger's ledger."""
    *_, shows = short_season("12:00 stripe ash a1")
    *_, corrects = short_season("12:00 stripe ash a1")
    shows["data"]["shown"] = {"corrects": "office:2"}
    corrects["data"]["corrects"] = "office:2"
    (found,) = corrections_in(stored_events([shows, corrects]))
    assert found.data["corrects"] == "office:2"
