"""The season's days with games: week 1 is the first, on any day of the week.

A day counts even if its games are called off. A game that was moved counts on its new day.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.engine import Engine
from ledger.errors import InputError


@dataclass(frozen=True)
class GameDay:
    """The N-th local date with games, as YYYY-MM-DD, and its games by kickoff."""

    week: int
    date: str
    games: tuple[str, ...]


def game_days(engine: Engine) -> list[GameDay]:
    """Every day with games, in order."""
    engine.make("local_date", "game")
    rows = engine.run(
        "select local_date::varchar, list(game order by kickoff_at, game) from local_date "
        "inner join game using (game) group by local_date order by local_date"
    )
    return [GameDay(week, day, tuple(games)) for week, (day, games) in enumerate(rows, 1)]


def day_of(
    engine: Engine, *, week: int | None = None, date: str | None = None, today: str
) -> GameDay:
    """The day with this number or date; without either, the first from `today` on.

    InputError if there is no such day.
    """
    days = game_days(engine)
    if week is not None:
        found = next((one for one in days if one.week == week), None)
        what = f"there is no week {week} in this season"
    elif date is not None:
        found = next((one for one in days if one.date == date), None)
        what = f"no game is on {date}"
    else:
        found = next((one for one in days if one.date >= today), None)
        what = f"no game is on {today} or later"
    if found is None:
        first, last = (days[0], days[-1]) if days else (None, None)
        hint = "There are no games yet. Fill in games.csv, then load the season folder again."
        if first and last:
            hint = f"Week 1 is {first.date}; the last, week {last.week}, is {last.date}."
        raise InputError(what, hint=hint)
    return found


def last_day(engine: Engine, today: str) -> GameDay | None:
    """The last day with games up to `today`; None before the season."""
    return next((one for one in reversed(game_days(engine)) if one.date <= today), None)
