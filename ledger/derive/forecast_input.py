"""Read the state of a game under way from two answers, for the forecast."""

from __future__ import annotations

from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.forecast import GameNow, PlayerNow, forecast_game
from ledger.derive.forecast_rows import DUE, GameForecast
from ledger.derive.scope import read_game
from ledger.errors import InputError
from ledger.record.kinds import SCHEDULE
from ledger.store.store import Store, Stored

_SNAPS_OF_THE_SEASON = (*SCHEDULE, "snaps", "half", "withdraw")


def read_forecast(store: Store, game: str) -> list[Stored]:
    """Read the game's events and every game's snaps; InputError for an unknown game."""
    return sorted({*read_game(store, game), *store.events(kind=_SNAPS_OF_THE_SEASON)})


def forecast(
    store: Store, game: str, *, as_of: str | None = None, known_at: str | None = None
) -> tuple[GameNow, GameForecast]:
    """Return the game as entered at these moments (UTC text), and its forecast.

    InputError for an unknown game, or one that is called off.
    """
    now = game_now(Engine(read_forecast(store, game), as_of=as_of, known_at=known_at), game)
    return now, forecast_game(now)


def game_now(engine: Engine, game: str) -> GameNow:
    """Return the game as entered so far; InputError for a game that is called off."""
    rows = engine.answer("forecast_game", game=game).dicts()
    if not rows:
        hint = "It is called off, or was not in the ledger yet."
        raise InputError(f"{game} has no forecast", hint=hint)
    now = rows[0]
    return GameNow(
        snaps=(now["snaps_1"], now["snaps_2"], now["snaps_3"]),
        ended=frozenset(now["ended"]),
        past={1: now["past_1"], 2: now["past_2"]},
        players=tuple(map(_player, engine.answer("forecast_player", game=game).dicts())),
    )


def _player(row: dict[str, Any]) -> PlayerNow:
    first, second, overtime = (row[f"plays_{half}"] for half in (1, 2, 3))
    plays = None if first is None else (first, second, overtime)
    return PlayerNow(**{key: row[key] for key in (*DUE, "missed")}, plays=plays)
