"""What could stop a coming weigh-in: every file of `sql/ready/` is one check."""

from __future__ import annotations

from ledger.derive.engine import Answer, Engine
from ledger.derive.queries import queries

READY = "ready"
FROM_FINDINGS = ("number_twice", "on_two_rosters")
"""Findings about rosters that hold before the weigh-in, too."""
SHAPE = {
    "rule": "varchar", "game": "varchar", "team": "varchar", "player": "varchar",
    "official": "varchar", "was_at": "timestamp",
    "was_site": "varchar", "detail": "varchar",
}  # fmt: skip
"""The columns of a check with their types; those that it does not fill are null."""


def checks() -> list[str]:
    """Return the names of the checks, in code point order."""
    own = [query.name for query in queries().values() if query.room == READY]
    return sorted([*own, *FROM_FINDINGS])


def unready(engine: Engine, *, game: str | None = None) -> Answer:
    """Return what the checks see, by kickoff; with `game`, only about that game."""
    engine.unite("unready", SHAPE, checks())
    return engine.answer("ready", game=game)
