"""From the ledger to the forecast: the state of a game under way, as two answers give it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.forecast import GameForecast, GameNow, PlayerNow, forecast_game
from ledger.derive.scope import read_game
from ledger.errors import InputError
from ledger.record.kinds import SCHEDULE
from ledger.store.store import Store, Stored

_SNAPS_OF_THE_SEASON = (*SCHEDULE, "snaps", "half", "withdraw")


def read_forecast(store: Store, game: str) -> list[Stored]:
    """The game's events and every game's snaps; InputError for an unknown game."""
    return sorted({*read_game(store, game), *store.events(kind=_SNAPS_OF_THE_SEASON)})


def forecast(
    store: Store, game: str, *, as_of: str | None = None, known_at: str | None = None
) -> tuple[GameNow, GameForecast]:
    """The game as it is stated as of these moments (UTC text), and its forecast.

    InputError for an unknown game, or one that is off.
    """
    now = game_now(Engine(read_forecast(store, game), as_of=as_of, known_at=known_at), game)
    return now, forecast_game(now)


def game_now(engine: Engine, game: str) -> GameNow:
    """The game as far as it is stated; InputError for a game that is off."""
    rows = engine.answer("forecast_game", game=game).dicts()
    if not rows:
        hint = "A game that is off, or that the ledger did not hold yet, has no forecast."
        raise InputError(f"{game} has no rows", hint=hint)
    now = rows[0]
    players = engine.answer("forecast_player", game=game).dicts()
    return GameNow(
        snaps=(now["snaps_1"], now["snaps_2"], now["snaps_3"]),
        ended=frozenset(now["ended"]),
        past={1: now["past_1"], 2: now["past_2"]},
        players=tuple(_player(row) for row in players),
    )


def _player(row: Mapping[str, Any]) -> PlayerNow:
    return PlayerNow(
        team=row["team"],
        player=row["player"],
        number=row["number"],
        may_play=row["may_play"],
        required=row["required"],
        plays=None if row["plays_1"] is None else (row["plays_1"], row["plays_2"], row["plays_3"]),
        missed=row["missed"],
    )
