"""The season summary: how the procedure went, for the league, each association and each team.

For those who run the league. It starts with what went well; it names no child and gives no
player's id; it ranks nobody: associations and teams stand in the order of their names. The
numbers go with it as JSON, small numbers of children hidden there too.
"""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import Any

from ledger.counts import count_of
from ledger.derive.engine import Engine
from ledger.derive.findings import rules
from ledger.derive.scope import read_season
from ledger.papers import words
from ledger.papers.charts import Bar, draw_bars
from ledger.papers.context import Figure
from ledger.papers.desk import LeagueDesk, Sheet
from ledger.papers.finish import Attachment
from ledger.papers.rule_words import plain_date
from ledger.papers.season_context import ScopeCounts, SeasonPaper
from ledger.papers.season_counts import (
    LEAGUE,
    NO_ASSOCIATION,
    Tables,
    count_scope,
    hidden_children,
    in_words,
    outcomes,
    read_tables,
)
from ledger.papers.suppress import FEWER_WORDS, WITHHELD_WORDS
from ledger.store.store import Store

NUMBERS = "season-summary.json"
_CHART = 9
_REASONS = {
    "weigh": "Weigh-in",
    "plays": "Plays",
    "roster": "Roster",
    "safety": "Safety",
    "protest": "Protest",
    "other": "Other",
}
_SPANS = (
    ("Within an hour", 60),
    ("Within a day", 24 * 60),
    ("Within three days", 3 * 24 * 60),
    ("Within seven days", 7 * 24 * 60),
)


def season_sheet(store: Store, *, as_of: str | None = None, known_at: str | None = None) -> Sheet:
    """The season's summary. RuleError if the ledger was written to meanwhile."""
    chain, _, _ = store.last().id.partition(":")
    setup = [one.event for one in store.events(kind=["league", "division", "team"])]
    desk = LeagueDesk(store, setup, chain=chain)
    engine = Engine(read_season(store), as_of=as_of, known_at=known_at)
    tables = read_tables(engine)
    engine.close()
    paper = _paper(desk, tables, as_of, known_at)
    desk.heads.check_still()
    sheet = desk.sheet("season_summary", paper)
    return replace(sheet, attachments=(_numbers(paper), *sheet.attachments))


def _paper(
    desk: LeagueDesk, tables: Tables, as_of: str | None, known_at: str | None
) -> SeasonPaper:
    hidden = hidden_children(tables)
    league = count_scope(tables, hidden, kind=LEAGUE, key="", name=desk.league["name"], teams=None)
    parts = []
    for association in sorted(set(tables.associations.values())):
        teams = [team for team, of in tables.associations.items() if of == association]
        teams.sort(key=lambda team: (desk.team_name(team).casefold(), team))
        whole = count_scope(
            tables,
            hidden,
            kind="association",
            key=association,
            name="Teams of no association" if association == NO_ASSOCIATION else association,
            teams=set(teams),
        )
        single = tuple(
            count_scope(
                tables, hidden, kind="team", key=team, name=desk.team_name(team), teams={team}
            )
            for team in teams
        )
        parts.append((whole, single))
    every = len(rules())
    found = {row["rule"] for row in tables.findings}
    return SeasonPaper(
        head=desk.head(as_of=as_of, known_at=known_at),
        state=_state(tables, league),
        well=_went_well(league, every - len(found), every),
        done=_done(league),
        signatures=_signatures(league),
        findings=_findings(league),
        by_week=_by_week(tables, league),
        times=_times(league),
        outcomes=_outcomes(tables),
        weeks=tuple(plain_date(day) for day in tables.days),
        league=league,
        parts=tuple(parts),
    )


def _state(tables: Tables, league: ScopeCounts) -> str:
    """Where the season is, in a sentence."""
    days = tables.days
    weighed = {game["played_on"] for game in tables.games if game["is_weighed"]}
    if not weighed:
        are = "is" if len(days) == 1 else "are"
        return f"Nobody has been weighed yet; {count_of(len(days), 'week')} of games {are} planned."
    steps = league.steps
    last = days.index(max(weighed)) + 1
    off = f" {count_of(steps.off, 'game')} {'is' if steps.off == 1 else 'are'} off." * bool(
        steps.off
    )
    return (
        f"After week {last} of {len(days)}: {steps.weighed} of {count_of(steps.games, 'game')} "
        f"weighed.{off}"
    )


def _went_well(league: ScopeCounts, clear: int, every: int) -> tuple[str, ...]:
    """What was done in full first, then what was done nearly always; nothing under nine tenths."""
    steps, cases = league.steps, league.cases
    shares = (
        (steps.weighed, steps.games, "Weigh-ins were held for {} games."),
        (steps.proved, steps.weighed, "The scale passed a check in {} weigh-ins."),
        (steps.signed, steps.due, "Lists were countersigned: {} signatures were given."),
        (steps.entries - steps.late, steps.entries, "{} statements were written down in time."),
        (cases.answered, cases.cases, "Answers were given to {} questions put to review."),
        (cases.cases - cases.overdue, cases.cases, "{} questions stayed within the league’s time."),
    )
    full = [
        text.format(f"all {whole:,}") for done, whole, text in shares if whole and done == whole
    ]
    nearly = [
        text.format(f"{done:,} of {whole:,}")
        for done, whole, text in shares
        if whole and done < whole and done * 10 >= whole * 9
    ]
    rest = [f"{clear} of the {every} rules have no finding at all."] * bool(clear and steps.weighed)
    return tuple(words.upper_first(sentence) for sentence in full + nearly + rest)


def _done(league: ScopeCounts) -> Figure:
    steps, cases = league.steps, league.cases
    bars = (
        Bar(label="Games weighed", value=steps.weighed, of=steps.games),
        Bar(label="Weigh-ins with a scale that passed", value=steps.proved, of=steps.weighed),
        Bar(label="Signatures given to lists", value=steps.signed, of=steps.due),
        Bar(label="Statements written in time", value=steps.entries - steps.late, of=steps.entries),
        Bar(label="Questions answered", value=cases.answered, of=cases.cases),
    )
    return draw_bars(
        bars,
        title="Steps done, of those due",
        caption="Filled: done. White: still due, or not done.",
    )


def _signatures(league: ScopeCounts) -> Figure:
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
        caption="Of a weighed game each side signs both lists: four signatures a game.",
    )


def _findings(league: ScopeCounts) -> tuple[Figure, ...]:
    """Charts of one scale, most findings first, each short enough to share a page."""
    bars = [Bar(label=rule.what, value=int(rule.count)) for rule in league.step_rules]
    longest = max((bar.value for bar in bars), default=0)
    charts = []
    for start in range(0, len(bars), _CHART):
        part = bars[start : start + _CHART]
        title = f"Findings about steps, by rule, {start + 1} to {start + len(part)} of {len(bars)}"
        caption = "The most frequent first." if not start else "Continued, on the same scale."
        charts.append(draw_bars(part, title=title, caption=caption, label=300, longest=longest))
    return tuple(charts)


def _by_week(tables: Tables, league: ScopeCounts) -> Figure | None:
    if not league.steps.findings:
        return None
    bars = [
        Bar(label=f"Week {number}, {plain_date(day)}", value=count)
        for number, (day, count) in enumerate(zip(tables.days, league.weeks, strict=True), 1)
    ]
    if league.no_week:
        bars.append(Bar(label="Of no game", value=league.no_week))
    return draw_bars(
        bars,
        title="Findings about steps, by week",
        caption="A finding belongs to the week of its game.",
    )


def _times(league: ScopeCounts) -> Figure | None:
    cases = league.cases
    if not cases.cases:
        return None
    bars, before = [], -1
    for label, most in _SPANS:
        count = sum(1 for minutes in cases.minutes if before < minutes <= most)
        bars.append(Bar(label=label, value=count, of=cases.cases))
        before = most
    longer = sum(1 for minutes in cases.minutes if minutes > before)
    bars.append(Bar(label="Later", value=longer, of=cases.cases))
    open_ = cases.cases - cases.answered
    bars.append(Bar(label="No answer in the ledger", value=open_, of=cases.cases))
    return draw_bars(
        bars,
        title="Time from the asking to the first answer",
        caption="Each question counts once, in the first span that it fits.",
    )


def _outcomes(tables: Tables) -> tuple[tuple[str, str, str], ...]:
    """By what was asked: how many, and how they ended."""
    lines = []
    for reason, word in _REASONS.items():
        rows = [row for row in tables.cases if row["reason"] == reason]
        if rows:
            counted = sorted(outcomes(rows).items())
            ended = ", ".join(f"{count} {in_words(outcome)}" for outcome, count in counted)
            lines.append((word, str(sum(row["cases"] for row in rows)), ended))
    return tuple(lines)


def _numbers(paper: SeasonPaper) -> Attachment:
    """The paper's numbers as a file. Numbers of children are numbers, or the words instead."""
    scopes = [paper.league]
    for whole, single in paper.parts:
        scopes += [whole, *single]
    content = {
        "league": paper.head.league,
        "season": paper.head.season,
        "ledger": {"event": paper.head.head_id, "hash": paper.head.head_hash},
        "as_of": paper.head.as_of,
        "known_at": paper.head.known_at,
        "children": f"1 to 4 are {FEWER_WORDS!r}; {WITHHELD_WORDS!r} is any number.",
        "weeks": list(paper.weeks),
        "scopes": [_scope(scope) for scope in scopes],
    }
    text = json.dumps(content, ensure_ascii=False, indent=1) + "\n"
    return Attachment(
        name=NUMBERS,
        content=text.encode(),
        media_type="application/json",
        description="The numbers of this summary; small numbers of children are hidden",
    )


def _scope(scope: ScopeCounts) -> dict[str, Any]:
    return {
        "kind": scope.kind,
        "id": scope.id,
        "name": scope.name,
        "steps": asdict(scope.steps),
        "cases": {
            "cases": scope.cases.cases,
            "outcomes": dict(scope.cases.outcomes),
            "overdue": scope.cases.overdue,
            "minutes_to_answer": list(scope.cases.minutes),
        },
        "findings_by_rule": {rule.rule: int(rule.count) for rule in scope.step_rules},
        "findings_by_week": list(scope.weeks),
        "findings_of_no_week": scope.no_week,
        "children": {
            "plays_due": _number(scope.due),
            "plays_short": _number(scope.short),
            "late": _number(scope.late),
            "by_rule": {rule.rule: _number(rule.count) for rule in scope.child_rules},
        },
    }


def _number(text: str) -> int | str:
    return int(text) if text.isdecimal() else text
