"""Where a game stands."""

from __future__ import annotations

from ledger.derive.engine import Engine
from ledger.derive.game_state import game_states
from tests.short_season import short_season, when
from tests.stored import stored_events


def test_a_game_that_is_off_names_the_statement_that_called_it_off() -> None:
    engine = Engine(stored_events(short_season("14:10 game_off so g1")))
    one, other = game_states(engine, now=when("15:00"), zone="America/Chicago")
    assert one.off
    assert (one.is_off, one.off["kind"], one.off["stated_by"]) == (True, "game_off", "so")
    assert (other.is_off, other.off) == (False, None)
