"""The answers as pandas tables, for a league's own scripts. Nothing here writes.

Every table has the columns and order of the answer of the same name (sql/README.md, section 12),
with these dtypes even if it has no rows:

    text                                                 string
    numbers (number, required, recorded, short, totals)  Int64, <NA> if there is none
    times (at)                                           datetime64[ms, UTC]
    lists (listed, events)                               object: Python lists of text

`as_of` counts only what was entered by then, `known_at` only what the ledger had recorded by then:
text such as "2026-09-05 09:30", in the league's time zone unless it has an offset.
"""

from __future__ import annotations

from types import TracebackType
from typing import TYPE_CHECKING, Self

from ledger.derive.answers import ask
from ledger.derive.engine import Answer
from ledger.errors import InputError
from ledger.record.times import parse_time, zone
from ledger.store.league import league_zone
from ledger.store.store import Store

if TYPE_CHECKING:
    from pandas import DataFrame  # type: ignore[import-untyped]

_NUMBERS = frozenset(
    {"number", "required", "recorded", "short", "games", "due", "met", "excused", "uncounted",
     "plays_short", "worst_short", "late", "late_and_short"}
)  # fmt: skip
_LISTS = frozenset({"listed", "events"})
_TIMES = frozenset({"at"})


class SeasonFrames:
    """A ledger's answers as tables. Close it when you are done, or use a `with` block."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def eligibility(
        self, game: str, *, as_of: str | None = None, known_at: str | None = None
    ) -> DataFrame:
        """Who may play and carry in a game. One row per team and player.

        Columns: game, team, player, number, may_play, may_carry, basis, listed, events.
        InputError for an unknown game.
        """
        return self._ask("eligibility", as_of, known_at, game=game)

    def book(
        self, team: str, *, as_of: str | None = None, known_at: str | None = None
    ) -> DataFrame:
        """A team's book of first-game marks. One row per player on the roster.

        Columns: team, player, number, game, mark, initials, by, at. InputError for an unknown team.
        """
        return self._ask("book", as_of, known_at, team=team)

    def exposure(
        self, game: str | None = None, *, as_of: str | None = None, known_at: str | None = None
    ) -> DataFrame:
        """Who had the plays due, in one game or all. One row per game, team and player.

        Columns: game, team, player, number, may_play, required, recorded, short, status.
        InputError for an unknown game.
        """
        return self._ask("exposure", as_of, known_at, game=game)

    def findings(
        self,
        game: str | None = None,
        team: str | None = None,
        rule: str | None = None,
        *,
        as_of: str | None = None,
        known_at: str | None = None,
    ) -> DataFrame:
        """Steps of the procedure that are missing or went wrong. One row per finding.

        Columns: rule, game, team, player, official, side, case, at, events, detail.
        InputError for an unknown game, team or rule.
        """
        return self._ask("findings", as_of, known_at, game=game, team=team, rule=rule)

    def close(self) -> None:
        """Close the ledger's file."""
        self._store.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self.close()

    def _ask(
        self, name: str, as_of: str | None, known_at: str | None, **asked: str | None
    ) -> DataFrame:
        as_of, known_at = self._utc("as_of", as_of), self._utc("known_at", known_at)
        return _frame(ask(self._store, name, as_of=as_of, known_at=known_at, **asked).answer)

    def _utc(self, what: str, text: str | None) -> str | None:
        if text is None:
            return None
        try:
            return parse_time(text, zone(league_zone(self._store)))
        except ValueError as error:
            raise InputError(f"{what}: found {text!r}", hint=f"Enter {error}.") from error


def _frame(answer: Answer) -> DataFrame:
    import pandas as pd

    return pd.DataFrame(
        {
            name: pd.Series([row[n] for row in answer.rows], dtype="object").astype(_dtype(name))
            for n, name in enumerate(answer.columns)
        }
    )


def _dtype(name: str) -> str:
    if name in _NUMBERS:
        return "Int64"
    if name in _TIMES:
        return "datetime64[ms, UTC]"
    return "object" if name in _LISTS else "string"
