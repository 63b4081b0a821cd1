"""Which statement called a game off."""

from __future__ import annotations

from typing import Any

from ledger.derive.engine import Engine


def called_off(engine: Engine, game: str) -> dict[str, Any] | None:
    """The statement that called the game off, the first one entered; None if it is played."""
    offs = [
        row
        for row in engine.answer("statement").dicts()
        if (row["kind"], row["game"]) == ("game_off", game)
    ]
    return min(offs, key=lambda row: int(row["entered_rank"]), default=None)
