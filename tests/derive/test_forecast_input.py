"""What goes into the forecast: the game's own counts, earlier halves, and who may play."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.forecast import GameNow, PlayerNow
from ledger.derive.forecast_input import game_now, read_forecast
from ledger.errors import InputError
from ledger.store.opening import open_store
from tests.short_season import short_season, when
from tests.stored import stored_events

SAMPLE = Path(__file__).parents[2] / "sample_season"
WEEK_1 = """
05/15:10 snaps half=1 count=12
05/15:40 snaps half=1 count=27
05/15:41 half half=1
05/16:20 snaps half=2 count=30
"""


def now(text: str, game: str = "g2", as_of: str | None = None, **rules: object) -> GameNow:
    events = short_season(text, **rules)
    stored = stored_events(events)
    return game_now(Engine(stored, as_of=when(as_of) if as_of else None), game)


def player(game: GameNow, player: str) -> PlayerNow:
    return next(one for one in game.players if one.player == player)


def test_halves_that_have_ended_of_games_with_an_earlier_kickoff() -> None:
    assert now(WEEK_1).past == {1: [27], 2: []}
    assert now(WEEK_1 + "05/16:30 half half=2").past == {1: [27], 2: [30]}
    assert now(WEEK_1, "g1").past == {1: [], 2: []}
    assert now(WEEK_1 + "05/17:00 game_off so").past == {1: [], 2: []}
    assert now(WEEK_1 + "04/17:00 game_change so kickoff=2026-09-12T15:00:00.000Z").past[1] == []


def test_snaps_of_half_2_show_that_half_1_has_ended() -> None:
    unstated = WEEK_1.replace("05/15:41 half half=1\n", "")
    assert now(unstated).past[1] == [27]
    assert now(unstated.replace("05/16:20 snaps half=2 count=30\n", "")).past[1] == []


def test_the_games_own_counts() -> None:
    game = now(WEEK_1 + "05/16:25 snaps half=2 count=28 entered=05/16:15", "g1")
    assert game.snaps == (27, 30, None)
    assert game.ended == {1}
    assert now(WEEK_1, "g1", as_of="15:20").snaps == (12, None, None)


def test_players_who_may_play_with_their_plays_by_half() -> None:
    text = """
    14:40 weigh ash a1 ok
    14:41 weigh elm e1 ok wa
    15:10 plays ash a1 half=1 count=3 pc
    15:50 plays ash a1 half=2 count=1 pc
    15:20 late_weigh ash a2 ok
    """
    game = now(text, "g1")
    assert [(one.player, one.may_play) for one in game.players] == [
        ("a1", "full"),
        ("a2", "second_half"),
        ("e1", "full"),
    ]
    assert player(game, "a1") == PlayerNow("ash", "a1", 1, "full", 10, (3, 1, 0), 0)
    assert player(game, "a2").plays == (0, 0, 0)
    assert player(game, "e1").plays is None


def test_who_is_excused_is_left_out() -> None:
    text = "14:40 weigh ash a1 ok\n14:41 weigh ash a2 ok\n15:30 excuse ash a1 injured"
    assert [one.player for one in now(text, "g1").players] == ["a2"]


def test_snaps_run_before_a_late_player_for_the_whole_game_came() -> None:
    text = "15:10 snaps half=1 count=9\n15:20 late_weigh ash a1 ok\n15:30 snaps half=1 count=20"
    assert player(now(text, "g1", late_players="whole_game"), "a1").missed == 9
    assert player(now(text, "g1"), "a1").missed == 0


def test_snaps_run_before_the_ruling_that_let_a_player_in() -> None:
    text = """
    14:40 weigh ash a2 ok
    15:10 snaps half=1 count=9
    15:15 case_open case=c1 weigh game=g1
    15:20 ruling so case=c1 decided game=g1 ash a1 may_play=full
    15:25 ruling so case=c1 decided game=g1 ash a2 may_play=full
    15:30 snaps half=1 count=20
    """
    game = now(text, "g1")
    assert player(game, "a1").missed == 9
    assert player(game, "a2").missed == 0


def test_a_game_that_is_off_has_no_forecast() -> None:
    with pytest.raises(InputError) as caught:
        now("14:00 game_off so", "g1")
    assert caught.value.hint


def test_one_game_is_read_by_index_and_gives_what_the_season_gives(sample_copy: Path) -> None:
    store = open_store(sample_copy)
    for game, as_of in (("acorn-3b", "2026-09-19T21:05:00.000Z"), ("oak-2a", None)):
        read = read_forecast(store, game)
        assert len(read) < 1500
        whole = game_now(Engine(store.events(), as_of=as_of), game)
        assert game_now(Engine(read, as_of=as_of), game) == whole
    store.close()
