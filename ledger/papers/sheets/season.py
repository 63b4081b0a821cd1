"""The season summary: how the procedure went in the league, each association and each team.

For those who run the league. Two pages are for the board: plays first, what went well, what to
improve, and the teams; the rest is an appendix. It names no child, gives no player's id and ranks
nobody: associations and teams are in the order of their names. Its numbers are attached as JSON;
small numbers of children are hidden there too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from ledger.derive.engine import Engine
from ledger.derive.scope import read_season
from ledger.derive.season_counts import (
    LEAGUE,
    NO_ASSOCIATION,
    OUTCOMES,
    Tables,
    count_scope,
    hidden_children,
    outcomes,
    read_tables,
)
from ledger.derive.signatures import Signatures, SignedList
from ledger.errors import InputError, count_of
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.season_context import ScopeCounts, SeasonPaper
from ledger.papers.sheets.season_figures import draw_by_week
from ledger.papers.sheets.season_front import lay_areas, lay_findings, lay_plays, lay_teams
from ledger.papers.sheets.season_numbers import attached_numbers, in_words, lay_scope
from ledger.papers.sheets.source import LeagueSource
from ledger.say import codes, procedure, words
from ledger.say import season as say
from ledger.say.clock import local_time, plain_date
from ledger.say.signing import worst_of

_SPANS = (
    ("within an hour", 60),
    ("within a day", 24 * 60),
    ("within three days", 3 * 24 * 60),
    ("within seven days", 7 * 24 * 60),
)


def season_sheet(heads: Heads, *, as_of: str | None = None, known_at: str | None = None) -> Sheet:
    """The season's summary; InputError for a `known_at` before the first row."""
    store = heads.store
    chain, _, _ = store.last().id.rpartition(":")
    setup = [one.event for one in store.events(kind=["league", "division", "team"])]
    first = min(event.recorded for event in setup)
    if (known_at or first) < first:
        hint = f"Its first rows were recorded {local_time(first, 'UTC')}."
        raise InputError("the ledger was still empty at the moment of --known-at", hint=hint)
    source = LeagueSource(heads, setup, chain, as_of=as_of, known_at=known_at)
    stored = list(read_season(store))
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    tables = read_tables(engine)
    signed = Signatures(engine, stored).all()
    engine.close()
    paper = replace(_paper(source, tables), since_signed=_since_signed(tables, signed))
    return source.sheet("season_summary", paper, attached_numbers(paper))


def _paper(source: LeagueSource, tables: Tables) -> SeasonPaper:
    hidden = hidden_children(tables)

    def scope(kind: str, key: str, name: str, teams: Collection[str] | None) -> ScopeCounts:
        numbers = count_scope(tables, hidden, kind=kind, key=key, teams=teams)
        return lay_scope(numbers, kind=kind, key=key, name=name)

    league = scope(LEAGUE, "", source.league["name"], None)
    parts = []
    for association in sorted(set(tables.associations.values())):
        teams = [team for team, of in tables.associations.items() if of == association]
        teams.sort(key=lambda team: (source.team_name(team).casefold(), team))
        name = "Teams of no association" if association == NO_ASSOCIATION else association
        single = tuple(scope("team", team, source.team_name(team), {team}) for team in teams)
        parts.append((scope("association", association, name, teams), single))
    return SeasonPaper(
        head=source.head(),
        state=_state(tables, league),
        plays_due=procedure.minimum_plays(source.league),
        plays=lay_plays(league),
        well=_went_well(league),
        areas=lay_areas(league),
        teams=lay_teams(league, parts),
        findings=lay_findings(league),
        by_week=draw_by_week(tables, league),
        checks=say.times(league.steps.checks),
        outs=say.times(league.steps.outs),
        times=_times(league),
        outcomes=_outcomes(tables),
        weeks=tuple(plain_date(day) for day in tables.days),
        league=league,
        parts=tuple(parts),
    )


def _state(tables: Tables, league: ScopeCounts) -> str:
    """How far the season is, in a sentence."""
    days = tables.days
    weighed = {game["played_on"] for game in tables.games if game["is_weighed"]}
    if not weighed:
        are = "is" if len(days) == 1 else "are"
        return f"Nobody has been weighed yet; {count_of(len(days), 'week')} of games {are} planned."
    steps = league.steps
    last = days.index(max(weighed)) + 1
    games = f"{steps.weighed} of {count_of(steps.games, 'game')}"
    off = f" {count_of(steps.off, 'game')} {'was' if steps.off == 1 else 'were'} called off."
    return f"After week {last} of {len(days)}: {games} weighed.{off * bool(steps.off)}"


def _went_well(league: ScopeCounts) -> tuple[str, ...]:
    """Steps done in full, then steps done nine times in ten or more, a sentence each."""
    steps, cases = league.steps, league.cases
    shares = (
        (steps.weighed, steps.games, "Weigh-ins were held for {} games."),
        (steps.proved, steps.weighed, say.scale_passed(steps.proved_after_failure)),
        (steps.signed, steps.due, "{} signatures to lists were given."),
        (steps.entries - steps.late, steps.entries, "{} entries were written down in time."),
        (cases.ruled, cases.cases, "{} questions put to review got a ruling."),
        (cases.cases - cases.overdue, cases.cases, "{} questions stayed within the league’s time."),
    )
    full, nearly = [], []
    for done, whole, text in shares:
        if whole and done == whole:
            full.append(text.format(f"all {whole:,}"))
        elif done < whole and done * 10 >= whole * 9:
            nearly.append(text.format(f"{done:,} of {whole:,}"))
    return tuple(words.upper_first(sentence) for sentence in full + nearly)


def _since_signed(tables: Tables, signed: Mapping[tuple[str, str], Sequence[SignedList]]) -> str:
    """How many lists have a signature, and whether they are still as signed; "" if none has."""
    lacking = {(row["game"], row["team"]) for row in tables.signatures if row["how"] == "missing"}
    counted = Counter(worst_of(signatures) for signatures in signed.values())
    numbers = (
        (counted["stands"], "are still as signed"),
        (counted["late_arrivals"], "had late arrivals added"),
        (counted["changed"] + counted["other"], say.CHANGED_OTHERWISE),
    )
    parts = [f"{count} {what}" for count, what in numbers if count]
    both = len(signed.keys() - lacking)
    whole = f"Lists with a signature: {counted.total()}; with both sides’: {both}."
    return f"{whole} {'; '.join(parts)}." if parts else ""


def _outcomes(tables: Tables) -> tuple[tuple[str, str, str], ...]:
    """By what was asked: how many questions, and how they ended."""
    lines = []
    for reason in codes.CASES:
        rows = [row for row in tables.cases if row["reason"] == reason]
        if rows:
            cases = sum(row["cases"] for row in rows)
            counted = outcomes(rows)
            ended = ", ".join(f"{counted[one]} {in_words(one)}" for one in OUTCOMES if counted[one])
            lines.append((codes.case_heading(reason), str(cases), ended))
    return tuple(lines)


def _times(league: ScopeCounts) -> str:
    """How long questions took to the first ruling or close: "6 within an hour, 1 later"."""
    minutes, parts, before = league.cases.minutes, [], -1
    for label, most in (*_SPANS, ("later", max((*minutes, 0)))):
        count = sum(1 for one in minutes if before < one <= most)
        parts += [f"{count} {label}"] * bool(count)
        before = most
    waiting = league.cases.cases - league.cases.answered
    return ", ".join(parts + [f"{waiting} not yet"] * bool(waiting))
