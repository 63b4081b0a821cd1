"""How tests read the answers: one row in a few words."""

from __future__ import annotations

from typing import Any

from tests.random_seasons.chain import Event
from tests.reference_rules import eligibility, findings


def verdict(events: list[Event], player: str, game: str = "g1", **as_of: str) -> str:
    """ "may_play may_carry basis" of the only row of the player in the game."""
    rows = [row for row in eligibility(events, game, **as_of) if row["player"] == player]
    assert len(rows) == 1, rows
    return " ".join(rows[0][key] for key in ("may_play", "may_carry", "basis"))


def shown(events: list[Event], player: str, game: str = "g1") -> list[str]:
    rows = [row for row in eligibility(events, game) if row["player"] == player]
    assert len(rows) == 1, rows
    return list(rows[0]["events"])


def about(events: list[Event], rule: str, **as_of: str) -> list[tuple[Any, ...]]:
    """What the rule found: the keys of its grain that are not null, without its name."""
    keys = ("game", "team", "player", "official", "side", "case", "events")
    return [
        tuple(row[key] for key in keys if row.get(key) is not None)
        for row in findings(events, **as_of)
        if row["rule"] == rule
    ]
