"""What is still to settle before a day of games."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.days import GameDay, day_of
from ledger.derive.engine import Engine
from ledger.derive.ready import unready
from ledger.derive.scope import read_season
from ledger.record.kinds import KEYS
from ledger.record.times import local_date, now_utc
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored
from ledger.witness.keys import Scope, keys_in_force

KEY_MISSING = "key_missing"
ITEM = ("rule", "game", "team", "player", "number", "official", "was_at", "was_site",
        "detail")  # fmt: skip


@dataclass(frozen=True)
class GameReady:
    """A game as it stands, and what is to settle: rows with the columns ITEM."""

    game: str
    kickoff: str
    site: str | None
    home: str
    visitor: str
    is_off: bool
    is_weighed: bool
    items: tuple[Mapping[str, Any], ...]


@dataclass(frozen=True)
class Ready:
    """A day's games by kickoff; `has_keys`: whether anyone in the ledger has a key."""

    day: GameDay
    games: tuple[GameReady, ...]
    has_keys: bool
    zone: str
    events: tuple[Stored, ...]


def ready(
    store: Store,
    *,
    week: int | None = None,
    date: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Ready:
    """Look at a day of games: the season's N-th, this local date, or the next from now on.

    InputError if there is no such day.
    """
    zone = league_zone(store)
    today = local_date(as_of or known_at or now_utc(), zone)
    events = tuple(read_season(store))
    engine = Engine(events, as_of=as_of, known_at=known_at)
    day = day_of(engine, week=week, date=date, today=today)
    keys = keys_in_force(
        one.event
        for one in store.events(kind=KEYS)
        if known_at is None or one.event.recorded <= known_at
    )
    items = unready(engine).dicts()
    if keys:
        items += _without_key(engine, keys)
    games = {row["game"]: row for row in engine.answer("game").dicts()}
    weighed = {row["game"] for row in engine.answer("game_weighed").dicts()}
    engine.close()
    found = []
    for game in day.games:
        row = games[game]
        found.append(
            GameReady(
                game=game,
                kickoff=row["kickoff_at"],
                site=row["site"],
                home=row["home"],
                visitor=row["visitor"],
                is_off=row["is_off"],
                is_weighed=game in weighed,
                items=tuple(item for item in items if item["game"] == game),
            )
        )
    return Ready(day, tuple(found), bool(keys), zone, events)


def _without_key(engine: Engine, keys: Mapping[Scope, object]) -> list[dict[str, Any]]:
    """Those assigned who have no key, for the season or for that game."""
    empty = dict.fromkeys(ITEM)
    return [
        empty
        | {
            "rule": KEY_MISSING,
            "game": row["game"],
            "team": row["team"],
            "official": row["official"],
            "detail": "Assigned, without a key to sign with.",
        }
        for row in engine.answer("assignment").dicts()
        if not {(row["official"], None), (row["official"], row["game"])} & keys.keys()
    ]
