"""What reviewers get to read about a case: facts from the answers, without layout or words.

A packet takes no side. It contains the case, the statements about its question, eligibility when
the list was signed and now, the signed lists, the numbers of a roster question, and the findings
that touch it. The question is about the `asked` players; papers name only them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case
from ledger.derive.statements import Statement, all_statements, numbers_of
from ledger.review.cases import Case
from ledger.review.packet_cases import OtherCase, find_other_cases
from ledger.review.packet_history import GameHistory, games_of, read_history, trace_history
from ledger.review.packet_lists import (
    Compared,
    ListThen,
    Moments,
    compare,
    first_signatures,
    lists_then,
)
from ledger.review.packet_names import find_namesakes
from ledger.review.packet_numbers import Move, Numbers, games_of_teams, trace_numbers
from ledger.review.packet_question import Question, read_question
from ledger.review.packet_timeline import in_order, is_wanted, lay_timeline, shown_by
from ledger.review.timeline import TimelineEntry
from ledger.review.touching import Touched, touching
from ledger.store.store import Store, Stored

_OF_SCALE = ("station", "scale_out")
"""Statements about the scale; those of the game of the book mark say how the mark was made."""


@dataclass(frozen=True)
class Packet:
    """Everything about a case for its reviewers, as of a moment; times are UTC text.

    `sides` are the (game, team) whose lists and eligibility matter; `games` are those the case
    names, the question's first. `namesakes` are on record under the name of a player asked about,
    in a roster question. `limits` are the games' limits in hundredths of a pound. `stored` are the
    events of the case, `events` all that were read, by id.
    """

    case: Case
    as_of: str | None
    known_at: str | None
    games: tuple[Mapping[str, Any], ...]
    sides: tuple[tuple[str, str], ...]
    asked: frozenset[str]
    namesakes: frozenset[str]
    numbers_of: Mapping[tuple[str, str, str], int | None]
    roles: tuple[Mapping[str, Any], ...]
    limits: Mapping[str, int]
    timeline: tuple[TimelineEntry, ...]
    history: tuple[GameHistory, ...]
    compared: tuple[Compared, ...]
    exposure: tuple[Mapping[str, Any], ...]
    lists: tuple[ListThen, ...]
    numbers: Numbers | None
    others: tuple[OtherCase, ...]
    stored: tuple[Stored, ...]
    events: Mapping[str, Event]

    @property
    def shown_ids(self) -> frozenset[str]:
        """The ids of all events that the packet shows or rests on."""
        found = {one.statement.event for one in self.timeline}
        for part in (self.history, self.compared, self.lists, self.others):
            found = found.union(*(one.events for one in part))
        found = found.union(*(finding["events"] for finding in self.case.findings))
        return frozenset(found | set(self.numbers.events if self.numbers else ()))

    @property
    def named(self) -> frozenset[str]:
        """The players whose names the packet shows."""
        return self.asked | self.namesakes

    def rulings_of(self, row: Mapping[str, Any]) -> tuple[str, ...]:
        """The cases whose rulings decided a row of eligibility, each once."""
        events = [self.events[one] for one in row["events"] if one in self.events]
        return tuple(dict.fromkeys(e.data["case"] for e in events if e.kind == "ruling"))


def build_packet(
    store: Store, case_id: str, *, as_of: str | None = None, known_at: str | None = None
) -> Packet:
    """Build the packet of a case. Raises InputError for an unknown one."""
    moment = {"as_of": as_of, "known_at": known_at}
    stored = read_case(store, case_id, **moment)
    now = as_of or known_at or store.last().recorded
    question = read_question(store, stored, case_id, now, moment)
    case, asked, games, sides = question
    namesakes, numbers = _trace_identity(store, case, asked, sides, moment)

    divisions = {game["division"] for game in games}
    played = games_of(store, asked, divisions) if asked else []
    others = [game for game in played if game not in {row["game"] for row in games}]
    whole = read_history(store, stored, others, **moment)
    engine = Engine(whole, **moment)
    events = {one.id: one.event for one in whole}
    statements = all_statements(engine)
    by_id = {one.event: one for one in statements}
    history = trace_history(engine, statements, played, asked)
    case = replace(case, findings=_findings(engine, by_id, question, others, history))

    signed = first_signatures(engine, statements, events)
    at = Moments(stored, **moment)
    compared = compare(at, engine, sides, signed, asked)
    lists = lists_then(at, engine, sides, signed)
    at.close()
    worn = numbers_of(engine)
    own = {entry.event_id for entry in case.timeline}
    wanted = own.union(*(table.asked_events for table in compared))
    marked = {one.game for one in history if one.decisive}
    wanted |= {one.event for one in statements if one.game in marked and one.kind in _OF_SCALE}
    wanted = wanted.union(*(one.decisive for one in history))
    wanted |= shown_by(case.findings, asked, by_id)
    wanted |= {one.event for one in statements if is_wanted(one, asked, sides, games)}
    if numbers:
        wanted |= {step.event for step in numbers.steps if isinstance(step, Move)}
    chosen = in_order(wanted, statements)
    packet = Packet(
        case=case,
        as_of=as_of,
        known_at=known_at,
        games=games,
        sides=sides,
        asked=asked,
        namesakes=namesakes,
        numbers_of=worn,
        roles=tuple(engine.answer("role").dicts()),
        limits={row["game"]: row["limit_clb"] for row in engine.answer("limit_due").dicts()},
        timeline=lay_timeline(store, chosen, statements, events, own, asked, worn),
        history=history,
        compared=compared,
        exposure=tuple(
            row
            for game in games
            for row in engine.answer("exposure", game=game["game"]).dicts()
            if row["player"] in asked
        ),
        lists=lists,
        numbers=numbers,
        others=find_other_cases(
            store, case, now=now, players=asked, sides=sides,
            games={row["game"] for row in games}, **moment,
        ),
        stored=tuple(stored),
        events=events,
    )  # fmt: skip
    engine.close()
    return packet


def _trace_identity(
    store: Store,
    case: Case,
    asked: frozenset[str],
    sides: Collection[tuple[str, str]],
    moment: Mapping[str, str | None],
) -> tuple[frozenset[str], Numbers | None]:
    """The namesakes of the players in a roster question, and their numbers."""
    if case.reason != "roster" or not asked:
        return frozenset(), None
    teams = {team for _, team in sides}
    namesakes = find_namesakes(store, asked, games_of_teams(store, teams), **moment)
    numbers = trace_numbers(store, teams, asked, namesakes=namesakes, game=case.game, **moment)
    return frozenset().union(*namesakes.values()) - asked, numbers


def _findings(
    engine: Engine,
    statements: Mapping[str, Statement],
    question: Question,
    others: Collection[str],
    history: Collection[GameHistory],
) -> tuple[Mapping[str, Any], ...]:
    case = question.case
    touched = Touched(
        case_id=case.case_id,
        own=frozenset(entry.event_id for entry in case.timeline),
        games=frozenset(row["game"] for row in question.games),
        sides=frozenset(question.sides),
        players=question.asked,
        is_for_all=case.player is None,
        others=frozenset(others),
        scales=frozenset(one.game for one in history if one.decisive),
    )
    return touching(find(engine).dicts(), touched, statements)
