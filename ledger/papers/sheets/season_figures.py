"""The charts of the season summary: steps done, signatures, findings, time to an answer."""

from __future__ import annotations

from ledger.derive.season_counts import Tables
from ledger.papers.press.charts import Bar, Figure, draw_bars
from ledger.papers.sheets.season_context import ScopeCounts
from ledger.say.clock import plain_date

_CHART = 9
_SPANS = (
    ("Within an hour", 60),
    ("Within a day", 24 * 60),
    ("Within three days", 3 * 24 * 60),
    ("Within seven days", 7 * 24 * 60),
)


def draw_done(league: ScopeCounts) -> Figure:
    """Steps done, of those due."""
    steps, cases = league.steps, league.cases
    bars = (
        Bar(label="Games weighed", value=steps.weighed, of=steps.games),
        Bar(label="Weigh-ins with a scale that passed", value=steps.proved, of=steps.weighed),
        Bar(label="Signatures given to lists", value=steps.signed, of=steps.due),
        Bar(label="Statements written in time", value=steps.entries - steps.late, of=steps.entries),
        Bar(label="Questions with a ruling", value=cases.ruled, of=cases.cases),
    )
    return draw_bars(
        bars,
        title="Steps done, of those due",
        caption="Filled: done. White: still due, or not done.",
    )


def draw_signatures(league: ScopeCounts) -> Figure:
    """How lists were signed, and how many were not."""
    steps = league.steps
    bars = (
        Bar(label="Signed with a key", value=steps.key, of=steps.due),
        Bar(label="Signed in ink, scan kept", value=steps.ink, of=steps.due),
        Bar(label="Signed on the sheet", value=steps.sheet, of=steps.due),
        Bar(label="Missing", value=steps.missing, of=steps.due),
    )
    return draw_bars(
        bars,
        title="How lists were signed",
        caption="In a weighed game each side signs both lists: four signatures a game.",
    )


def draw_findings(league: ScopeCounts) -> tuple[Figure, ...]:
    """Charts on one scale, most findings first, each short enough to share a page."""
    bars = [Bar(label=rule.what, value=int(rule.count)) for rule in league.step_rules]
    longest = max((bar.value for bar in bars), default=0)
    charts = []
    for start in range(0, len(bars), _CHART):
        part = bars[start : start + _CHART]
        title = f"Findings about steps, by rule, {start + 1} to {start + len(part)} of {len(bars)}"
        caption = "The most frequent first." if not start else "Continued, on the same scale."
        charts.append(draw_bars(part, title=title, caption=caption, label=300, longest=longest))
    return tuple(charts)


def draw_by_week(tables: Tables, league: ScopeCounts) -> Figure | None:
    """Findings about steps by week; None for no findings."""
    if not league.steps.findings:
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


def draw_times(league: ScopeCounts) -> Figure | None:
    """How long questions took to a ruling or a close; None if nothing was asked."""
    cases = league.cases
    if not cases.cases:
        return None
    bars, before = [], -1
    for label, most in _SPANS:
        count = sum(1 for minutes in cases.minutes if before < minutes <= most)
        bars.append(Bar(label=label, value=count, of=cases.cases))
        before = most
    later = sum(1 for minutes in cases.minutes if minutes > before)
    for label, count in (
        ("Later", later),
        ("Neither yet", cases.cases - cases.answered),
    ):
        bars.append(Bar(label=label, value=count, of=cases.cases))
    return draw_bars(
        bars,
        title="Time from the question to the first ruling or close",
        caption="Each question counts once, in the first span that fits.",
    )
