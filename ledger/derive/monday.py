"""A day of games on the Monday after it: what went well, what is to settle, by whom, until when."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.derive.acting import Acting
from ledger.derive.answered import Question, Questions
from ledger.derive.book_notes import marks_since
from ledger.derive.days import GameDay, day_of, last_day
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.looking import Row, by_due, games_over, narrow, teams_of
from ledger.derive.monday_games import GameWeek, areas_by_game, areas_of, game_weeks
from ledger.derive.rule_header import rule_header
from ledger.derive.scope import read_game, read_season
from ledger.derive.statements import Statement, all_statements, base_of, numbers_of
from ledger.derive.why import Why, explain_each
from ledger.errors import InputError
from ledger.record.corrections import rows_that_count
from ledger.record.times import local_date, now_utc
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored

Child = tuple[str, str, str]
"""Game, team, player."""


@dataclass(frozen=True)
class Looked:
    """A finding, the teams whose officials look first (none: a role without a team), and the case
    beside it. `children` (team, player) are those of a finding about a game that is for them.
    """

    row: Row
    teams: tuple[str, ...]
    question: Question | None
    children: tuple[tuple[str, str], ...]

    @property
    def is_answered(self) -> bool:
        one = self.question
        return one is not None and one.answered_at is not None and one.settles


@dataclass(frozen=True)
class Monday:
    """A day's games with the findings about them: `found` are due, `still` are not yet.

    `answered` are findings, due or not, that a case settles. `cases` are the open ones about these
    games or teams, `ruled` those that were answered and stand beside no finding of the page. `whys`
    explain the children of the findings. `entries` are the statements that findings are about, by
    the id that the finding shows; `marked`, by game and player, marks that came after a first game
    without one. `let_in` are rows of `confirmation`: who was let in at the table without authority,
    and who has confirmed them. They stand here in place of their finding. `over` are games
    that have ended. `teams` are names by id.
    """

    day: GameDay
    association: str | None
    games: tuple[GameWeek, ...]
    found: Sequence[Looked]
    still: Sequence[Looked]
    answered: Sequence[Looked]
    cases: Sequence[Row]
    ruled: Sequence[tuple[Row, Question]]
    let_in: Sequence[Row]
    numbers: Mapping[tuple[str, str, str], int | None]
    whys: Mapping[Child, Why]
    entries: Mapping[str, Statement]
    marked: Mapping[tuple[str, str], Row]
    over: Collection[str]
    teams: Mapping[str, str]
    zone: str
    now: str
    events: Sequence[Stored]


def monday(
    store: Store,
    *,
    week: int | None = None,
    date: str | None = None,
    association: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
    now: str | None = None,
) -> Monday:
    """Look back at a day of games: the season's N-th, this local date, or the last one up to `now`.

    With an association, only games that one of its teams plays, and what concerns these teams.
    `now` (default: as_of, known_at or the clock) decides which steps were due. InputError if there
    is no such day or association.
    """
    now = now or as_of or known_at or now_utc()
    zone = league_zone(store)
    events = list(read_season(store))
    engine = Engine(events, as_of=as_of, known_at=known_at)
    day = _day(engine, week, date, local_date(now, zone))
    own = None if association is None else teams_of(engine, association)
    rows = find(engine).dicts()
    let_in = _let_in(engine, day, own)
    open_ones = {row["event_id"] for row in let_in if row["confirmed_by"] is None}
    settled = {row["event_id"] for row in let_in} - open_ones
    rows = [row for row in rows if not settled & set(row["events"])]
    there = [row for row in rows if not open_ones & set(row["events"])]
    of_day = [row for row in there if row["game"] in day.games]
    about = narrow(engine, of_day, association=association)
    acting = Acting(engine)
    questions = Questions(engine, of_day, acting.stated)
    late = _weighed_late(engine, about, acting, own)
    looked = {
        id(row): Looked(
            row,
            acting.teams(row),
            questions.beside(row),
            late.get(row["game"], ()) if row["rule"] == "half_not_stated" else (),
        )
        for row in about
    }
    waiting = [row for row in about if not looked[id(row)].is_answered]
    found, still = by_due(engine, waiting, now=now, zone=zone)
    told_of = areas_by_game(about)
    for row in let_in:
        told_of[row["game"]] |= areas_of("appointed_without_authority")
    games = game_weeks(engine, day, areas_by_game(rows), told_of)
    if own is not None:
        games = tuple(one for one in games if {one.home, one.visitor} & own)
    shown = {one.game for one in games}
    cases = [
        row
        for row in questions.cases
        if row["game"] in shown and (own is None or row["team"] is None or row["team"] in own)
    ]
    told = {one.question.case_id for one in looked.values() if one.question}
    children: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for row in about:
        if row["player"]:
            children[row["game"]].add((row["team"], row["player"]))
    whys = {}
    for game, those in children.items():
        read = read_game(store, game, as_of=as_of, known_at=known_at)
        each = explain_each(read, game, those, as_of=as_of, known_at=known_at)
        whys.update({(game, *child): why for child, why in each.items()})
    numbers = numbers_of(engine)
    entries = _entries(engine, about, acting, own)
    marked = marks_since(engine, about)
    over = games_over(engine, now=now, zone=zone)
    engine.close()
    return Monday(
        day=day,
        association=association,
        games=games,
        found=[looked[id(row)] for row in found],
        still=[looked[id(row)] for row in still],
        answered=[one for one in looked.values() if one.is_answered],
        let_in=let_in,
        cases=[row for row in cases if row["state"] == "open"],
        ruled=[
            (row, questions.of(row))
            for row in cases
            if row["state"] != "open" and row["case_id"] not in told
        ],
        numbers=numbers,
        whys=whys,
        entries=entries,
        marked=marked,
        over=over,
        teams=_team_names(events, as_of, known_at),
        zone=zone,
        now=now,
        events=events,
    )


def _team_names(
    events: Sequence[Stored], as_of: str | None, known_at: str | None
) -> dict[str, str]:
    of_teams = [stored.event for stored in events if stored.event.kind == "team"]
    counting = rows_that_count(of_teams, as_of=as_of, known_at=known_at)
    return {str(one.team): str(one.data["name"]) for one in counting}


def _entries(
    engine: Engine, rows: Sequence[Row], acting: Acting, own: set[str] | None
) -> dict[str, Statement]:
    """For a withdrawal, what it takes back. Where the finding names no team, without a child who
    is not for the `own` teams.
    """
    about = [row for row in rows if rule_header(row["rule"]).grain in ("statement", "withdrawal")]
    if not about:
        return {}
    every = {one.event: one for one in all_statements(engine)}
    found = {}
    for row in about:
        for event in row["events"]:
            entry = base_of(every[event], every)
            is_shown = row["team"] or _is_for(own, acting, entry.game, entry.team, entry.by)
            found[event] = entry if is_shown else replace(entry, team=None, player=None)
    return found


def _let_in(engine: Engine, day: GameDay, own: set[str] | None) -> list[Row]:
    return [
        row
        for row in engine.answer("confirmation").dicts()
        if row["is_at_table"] and row["game"] in day.games and (own is None or row["team"] in own)
    ]


def _day(engine: Engine, week: int | None, date: str | None, today: str) -> GameDay:
    if week is not None or date is not None:
        return day_of(engine, week=week, date=date, today=today)
    last = last_day(engine, today)
    if last is None:
        raise InputError(f"no game was on {today} or before", hint="Name a day with --week N.")
    return last


def _weighed_late(
    engine: Engine, rows: Sequence[Row], acting: Acting, own: set[str] | None
) -> dict[str, tuple[tuple[str, str], ...]]:
    """By game, the children for whom a finding about the whole game asks when the half ended."""
    games = {row["game"] for row in rows if row["rule"] == "half_not_stated"}
    late: defaultdict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    for row in engine.answer("weighing").dicts() if games else ():
        is_late = row["game"] in games and row["kind"] == "late_weigh"
        if is_late and _is_for(own, acting, row["game"], row["team"], row["stated_by"]):
            late[row["game"]][row["team"], row["player"]] = None
    return {game: tuple(children) for game, children in late.items()}


def _is_for(
    own: set[str] | None, acting: Acting, game: str | None, team: str | None, by: str
) -> bool:
    """Whether an entry is about one of these teams, or made by a weighmaster of one."""
    return own is None or bool(own & {team, *acting.weighmaster_of.get((str(game), by), ())})
