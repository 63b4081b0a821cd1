"""What is still open in a season that someone wants to close."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_season
from ledger.derive.statements import numbers_of
from ledger.store.store import Store

CASES, GAMES = "case_open", "game_not_weighed"
RULES = ("carrier_undecided", "list_not_countersigned", "plays_not_counted")
"""Findings whose step can still be entered before the season is closed."""


def read_season_open(store: Store) -> Mapping[str, tuple[Mapping[str, Any], ...]]:
    """By code, what is open: rows of `cases`, of `game_status` and of findings; none left empty.

    A finding about a player has the player's `number` too.
    """
    engine = Engine(read_season(store))
    cases = [row for row in engine.answer("cases").dicts() if row["state"] == "open"]
    games = [
        row
        for row in engine.answer("game_status").dicts()
        if not (row["is_off"] or row["home_weighed"] or row["visitor_weighed"])
    ]
    found: dict[str, list[dict[str, Any]]] = {CASES: cases, GAMES: games}
    numbers = numbers_of(engine)
    for row in find(engine, among=RULES).dicts():
        key = (row["game"], row["team"], row["player"])
        found.setdefault(row["rule"], []).append(row | {"number": numbers.get(key)})
    engine.close()
    return {code: tuple(rows) for code, rows in found.items() if rows}
