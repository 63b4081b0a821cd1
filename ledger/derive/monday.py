"""A day of games on the Monday after it: what went well, what is to settle, by whom, until when."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.days import GameDay, day_of, last_day
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.looking import Row, by_due, narrow, teams_of
from ledger.derive.rule_header import AREAS, rule_header
from ledger.derive.scope import read_game, read_season
from ledger.derive.statements import Statement, all_statements, base_of, numbers_of
from ledger.derive.why import Why, explain_each
from ledger.errors import InputError
from ledger.record.times import local_date, now_utc
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored

Child = tuple[str, str, str]
"""Game, team, player."""


@dataclass(frozen=True)
class GameWeek:
    """A game, and what it leaves.

    `well` are the parts of the procedure without a finding; none if nobody was weighed. `next` is
    the next kickoff of one of its teams (UTC text) with its game, `protest_until` when a protest is
    due; None if there is none, or if the end of half 2 was not entered.
    """

    game: str
    kickoff: str
    home: str
    visitor: str
    is_off: bool
    is_weighed: bool
    well: tuple[str, ...]
    next: tuple[str, str] | None
    protest_until: str | None


@dataclass(frozen=True)
class Monday:
    """A day's games with the findings about them: `found` are due, `still` are not yet.

    `cases` are the open ones about these games. `whys` explain the children of the findings.
    `entries` are the statements that findings are about, by the id that the finding shows.
    `let_in` are rows of `confirmation`: who was let in at the table without authority, and who has
    confirmed them. They stand here in place of their finding.
    """

    day: GameDay
    association: str | None
    games: tuple[GameWeek, ...]
    found: Sequence[Row]
    still: Sequence[Row]
    cases: Sequence[Row]
    let_in: Sequence[Row]
    numbers: Mapping[tuple[str, str, str], int | None]
    whys: Mapping[Child, Why]
    entries: Mapping[str, Statement]
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
    rows = find(engine).dicts()
    let_in = _let_in(engine, day, association)
    open_ones = {row["event_id"] for row in let_in if row["confirmed_by"] is None}
    settled = {row["event_id"] for row in let_in} - open_ones
    rows = [row for row in rows if not settled & set(row["events"])]
    there = [row for row in rows if not open_ones & set(row["events"])]
    about = narrow(engine, there, games=set(day.games), association=association)
    found, still = by_due(engine, about, now=now, zone=zone)
    games = _games(engine, day, rows)
    if association is not None:
        teams = teams_of(engine, association)
        games = tuple(one for one in games if {one.home, one.visitor} & teams)
    shown = {one.game for one in games}
    cases = engine.answer("cases").dicts()
    children: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for row in [*found, *still]:
        if row["player"]:
            children[row["game"]].add((row["team"], row["player"]))
    whys = {}
    for game, those in children.items():
        read = read_game(store, game, as_of=as_of, known_at=known_at)
        each = explain_each(read, game, those, as_of=as_of, known_at=known_at)
        whys.update({(game, *child): why for child, why in each.items()})
    numbers = numbers_of(engine)
    entries = _entries(engine, [*found, *still])
    engine.close()
    return Monday(
        day=day,
        association=association,
        games=games,
        found=found,
        still=still,
        let_in=let_in,
        cases=[one for one in cases if one["state"] == "open" and one["game"] in shown],
        numbers=numbers,
        whys=whys,
        entries=entries,
        zone=zone,
        now=now,
        events=events,
    )


def _entries(engine: Engine, rows: Sequence[Row]) -> dict[str, Statement]:
    """For a withdrawal, what it takes back."""
    about = [row for row in rows if rule_header(row["rule"]).grain in ("statement", "withdrawal")]
    if not about:
        return {}
    every = {one.event: one for one in all_statements(engine)}
    return {event: base_of(every[event], every) for row in about for event in row["events"]}


def _let_in(engine: Engine, day: GameDay, association: str | None) -> list[Row]:
    teams = None if association is None else teams_of(engine, association)
    return [
        row
        for row in engine.answer("confirmation").dicts()
        if row["is_at_table"]
        and row["game"] in day.games
        and (teams is None or row["team"] in teams)
    ]


def _day(engine: Engine, week: int | None, date: str | None, today: str) -> GameDay:
    if week is not None or date is not None:
        return day_of(engine, week=week, date=date, today=today)
    last = last_day(engine, today)
    if last is None:
        raise InputError(f"no game was on {today} or before", hint="Name a day with --week N.")
    return last


def _games(engine: Engine, day: GameDay, findings: Sequence[Row]) -> tuple[GameWeek, ...]:
    troubled: defaultdict[str, set[str]] = defaultdict(set)
    for row in findings:
        troubled[row["game"]].add(rule_header(row["rule"]).area)
    rows = {row["game"]: row for row in engine.answer("game").dicts()}
    states = {row["game"]: row for row in engine.answer("season_game").dicts()}
    ended = {row["game"]: row["due_at"] for row in engine.answer("protest_until").dicts()}
    found = []
    for game in day.games:
        row, state = rows[game], states[game]
        without = {"scale"} if not state["is_proved"] else set()
        well = [area for area in AREAS if area not in troubled[game] | without]
        found.append(
            GameWeek(
                game=game,
                kickoff=row["kickoff_at"],
                home=row["home"],
                visitor=row["visitor"],
                is_off=row["is_off"],
                is_weighed=state["is_weighed"],
                well=tuple(well) if state["is_weighed"] else (),
                next=_next(rows.values(), row),
                protest_until=ended.get(game),
            )
        )
    return tuple(found)


def _next(rows: Any, game: Row) -> tuple[str, str] | None:
    """The first later kickoff of one of the game's teams."""
    teams = {game["home"], game["visitor"]}
    later = [
        (row["kickoff_at"], row["game"])
        for row in rows
        if row["kickoff_at"] > game["kickoff_at"]
        and not row["is_off"]
        and teams & {row["home"], row["visitor"]}
    ]
    return min(later, default=None)
