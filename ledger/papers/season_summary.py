"""The season compliance summary: from the ledger to the paper, for a league or a part of it.

    summary_sheet(store, association=None, team=None, as_of=None, known_at=None)

The numbers are those of `season_figures` (SQL counts, small counts of children kept back); here
they become lines, blocks and attached files. No child is named, and no player's id appears.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches

from ledger.derive.engine import Engine
from ledger.derive.scope import read_season
from ledger.errors import InputError
from ledger.papers import season_words as words
from ledger.papers.charts import FILLINGS, count_bar, kept_bar, share_bar, swatch, whole_bar
from ledger.papers.context import Figure, PaperHead
from ledger.papers.desk import LeagueDesk, Sheet
from ledger.papers.heads import Heads
from ledger.papers.rule_words import count_of
from ledger.papers.season_context import Block, CountLine, SummaryPaper, WeekLine
from ledger.papers.season_figures import (
    LEAGUE,
    RuleCount,
    SeasonCount,
    UnitCount,
    WeekCount,
    Where,
    sum_up,
)
from ledger.papers.season_files import FILES, season_files
from ledger.papers.suppress import Kept, Shown, format_count
from ledger.papers.words import MONTHS, short_hash
from ledger.store.store import Store


def summary_sheet(
    store: Store,
    *,
    association: str | None = None,
    team: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Sheet:
    """The summary of the league, of one association or of one team.

    InputError for an unknown one; RuleError if the ledger is written to meanwhile. The checkpoint
    is that of the longest chain.
    """
    heads = Heads(store)
    engine = Engine(read_season(store), as_of=as_of, known_at=known_at)
    season = sum_up(engine)
    engine.close()
    where = _wanted(season, association, team)
    lengths = store.lengths()
    longest = max(lengths, key=lambda chain: (lengths[chain], chain))
    others = [heads.of(chain) for chain in sorted(lengths) if chain != longest]
    events = [one.event for one in store.events(kind=["league", "division", "team"])]
    desk = LeagueDesk(store, events, heads, chain=longest)
    head = desk.head(as_of=as_of, known_at=known_at)
    chains = tuple(f"{end.id}, {short_hash(end.hash)}" for end in others)
    sheet = desk.sheet("season_summary", _lay(desk, season, where, head, chains))
    files = season_files(season, where, head, desk.team_name)
    heads.check_still()
    return replace(sheet, attachments=(*files, *sheet.attachments))


def _wanted(season: SeasonCount, association: str | None, team: str | None) -> Where:
    if association is None and team is None:
        return LEAGUE
    level, unit = ("team", team) if team is not None else ("association", association)
    where = level, str(unit)
    if where not in season.units:
        known = [name for at, name in season.units if at == level and name]
        near = ", ".join(get_close_matches(where[1], known, n=2))
        hint = f"Near it: {near}." if near else "weighbook status lists teams and associations."
        raise InputError(f"no {level} {unit} in this ledger", hint=hint)
    return where


def _lay(
    desk: LeagueDesk,
    season: SeasonCount,
    where: Where,
    head: PaperHead,
    chains: tuple[str, ...],
) -> SummaryPaper:
    unit = season.units[where]
    raised = {count.rule for count in season.units[LEAGUE].rules}
    never = [rule for rule in season.rules if rule not in raised]
    quiet = len(never) if where == LEAGUE else None
    named = [(at, key) for at, key in season.units if at == "association" and key]
    shown_associations = named if where == LEAGUE else []
    teams = [] if where[0] == "team" else _in_order(desk, season.members[where])
    return SummaryPaper(
        head=head,
        of=_name(desk, where),
        lead=_lead(unit),
        glance=_glance(unit),
        well=tuple(words.well(unit, quiet, len(season.rules))),
        steps=words.steps_of(unit),
        signed=tuple(
            CountLine(label=label, count=f"{unit.signatures[key]:,}", bar=swatch(filling))
            for (key, label), filling in zip(words.SIGNED_BY, FILLINGS, strict=True)
        ),
        signed_bar=whole_bar([(label, unit.signatures[key]) for key, label in words.SIGNED_BY]),
        children=words.children_of(unit),
        weeks=_weeks(unit.weeks),
        next_season=tuple(words.advice(unit, desk.league)),
        step_rules=_rules(one for one in unit.rules if not one.is_about_player),
        player_rules=_rules(one for one in unit.rules if one.is_about_player),
        player_findings=format_count(season.player_findings) if where == LEAGUE else "",
        never=tuple(words.purpose(rule) for rule in never) if where == LEAGUE else (),
        associations=tuple(_block(desk, season, each) for each in shown_associations),
        teams=tuple(_block(desk, season, ("team", team)) for team in teams),
        cases=tuple(words.case_line(row) for row in unit.outcomes),
        case_times=words.case_times(unit),
        how_counted=words.how_counted(desk.league),
        files=tuple(f"{name}: {said}" for name, said in FILES),
        chains=chains,
    )


def _in_order(desk: LeagueDesk, teams: Iterable[str]) -> list[str]:
    """By division and name."""
    return sorted(
        teams,
        key=lambda team: (
            desk.divisions[desk.division_of(team)]["name"],
            desk.team_name(team),
            team,
        ),
    )


def _name(desk: LeagueDesk, where: Where) -> str:
    level, unit = where
    if level == "team":
        return desk.team_name(unit)
    return f"Association {unit}" if level == "association" else ""


def _lead(unit: UnitCount) -> str:
    """The state of the season in a breath."""
    weighed, off = unit.games["games_weighed"], unit.games["games_off"]
    were = "was" if weighed == 1 else "were"
    said = f"{count_of(weighed, 'game')} {were} weighed" + (f", {off:,} off" if off else "")
    return (
        f"{said}. First what was done, then what is missing, in counts over how many; then what to"
        " look at next season."
    )


def _glance(unit: UnitCount) -> tuple[CountLine, ...]:
    wanted = {
        "games": "Games weighed",
        "signed": "Signatures",
        "proved": "Scale proved",
        "counted": "Plays counted",
        "answered": "Answered in time",
    }
    lines = {line.key: line for line in words.steps_of(unit)}
    return tuple(
        CountLine(
            label=label,
            count=f"{lines[key].done:,}" if lines[key].due else "–",
            more=f"of {lines[key].due:,}" if lines[key].due else "none due",
        )
        for key, label in wanted.items()
    )


def _weeks(weeks: Sequence[WeekCount]) -> tuple[WeekLine, ...]:
    most = max((_known(one) for week in weeks for one in (week.steps, week.players)), default=0)
    return tuple(
        WeekLine(
            name=f"{week.week}: {_day(week.date)}" if week.week and week.date else "No game",
            games=f"{week.weighed:,}" + (f", {week.games_off:,} off" if week.games_off else ""),
            signatures=f"{week.signed:,} of {week.signatures_due:,}",
            signatures_bar=share_bar(week.signed, week.signatures_due),
            steps=f"{week.steps:,}",
            steps_bar=count_bar(week.steps, most),
            players="" if week.players is None else format_count(week.players),
            players_bar=None if week.players is None else _count_bar(week.players, most),
        )
        for week in weeks
    )


def _known(shown: Shown | None) -> int:
    return shown if isinstance(shown, int) else 0


def _count_bar(shown: Shown, most: int) -> Figure:
    if isinstance(shown, Kept):
        return kept_bar(format_count(shown))
    return count_bar(shown, most)


def _day(date: str) -> str:
    _, month, day = date.split("-")
    return f"{MONTHS[int(month) - 1]} {int(day)}"


def _rules(counts: Iterable[RuleCount]) -> tuple[CountLine, ...]:
    """By who looks at it first, then in the order of the rules' names."""
    lines = [words.rule_line(count) for count in counts]
    return tuple(sorted(lines, key=lambda line: line.more.split(", ")[0]))


def _block(desk: LeagueDesk, season: SeasonCount, where: Where) -> Block:
    unit = season.units[where]
    games = count_of(unit.games["games_weighed"], "game") + " weighed"
    shared = sum(one.count for one in unit.rules if one.is_shared and isinstance(one.count, int))
    if where[0] == "team":
        under = f"{desk.divisions[desk.division_of(where[1])]['name']} · {games}"
    else:
        under = f"{count_of(unit.games['teams'], 'team')} · {games}"
    if unit.games["games_off"]:
        under += f", {unit.games['games_off']:,} off"
    return Block(
        title=_name(desk, where),
        under=under,
        # Games are said above, and questions are answered by reviewers, not by teams.
        steps=tuple(line for line in words.steps_of(unit) if line.key not in ("games", "answered")),
        children=words.children_of(unit),
        found=tuple(words.rule_line(one) for one in unit.rules if not one.is_shared),
        rest=f"Of whole games, with the other team: {count_of(shared, 'finding')}."
        f" {words.case_note(unit)}.",
    )
