"""The chart of the season summary: findings by week."""

from __future__ import annotations

from ledger.derive.season_counts import Tables
from ledger.papers.press.charts import Bar, Figure, draw_bars
from ledger.papers.sheets.season_context import ScopeCounts
from ledger.say.clock import plain_date


def draw_by_week(tables: Tables, league: ScopeCounts) -> Figure | None:
    """Findings about steps by week; None if there are not two weeks to compare."""
    if sum(1 for count in league.weeks if count) < 2:
        return None
    bars = [
        Bar(label=f"Week {number}, {plain_date(day)}", value=count)
        for number, (day, count) in enumerate(zip(tables.days, league.weeks, strict=True), 1)
    ]
    if league.no_week:
        bars.append(Bar(label="Not about a game", value=league.no_week))
    return draw_bars(
        bars,
        title="Findings about steps, by week",
        caption="A finding belongs to the week of its game.",
    )
