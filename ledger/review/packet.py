"""What a reviewer is given about a case: facts from the answers, in no layout and no words.

A packet takes nobody's side. It holds the case, the statements about what the question is about,
eligibility when the list was signed and now, the lists as signed, the numbers of a roster
question, and the findings that touch it. Players the question is about are `asked`; papers name
them and nobody else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.scope import read_case
from ledger.derive.statements import (
    Statement,
    all_statements,
    base_of,
    numbers_of,
    with_withdrawals,
)
from ledger.record.kinds import CASE, IN_PACKET, OF_THING, TABLE
from ledger.review.cases import Case, case_in
from ledger.review.packet_lists import (
    Compared,
    ListThen,
    Moments,
    compare,
    first_signatures,
    lists_then,
)
from ledger.review.packet_numbers import Numbers, trace_numbers
from ledger.review.said import is_erased, said_in
from ledger.review.timeline import TimelineEntry
from ledger.store.store import Store, Stored

_OF_NO_LIST = ("safety", "other")


@dataclass(frozen=True)
class Packet:
    """Everything of a case for its reviewers, as of a moment; times are UTC text.

    `sides` are (game, team) whose lists and eligibility matter, `games` the games that the case
    names, the question's first; `stored`, and the same as `events` by id, is what was read, for
    asking further.
    """

    case: Case
    as_of: str | None
    known_at: str | None
    games: tuple[Mapping[str, Any], ...]
    sides: tuple[tuple[str, str], ...]
    asked: frozenset[str]
    numbers_of: Mapping[tuple[str, str, str], int | None]
    roles: tuple[Mapping[str, Any], ...]
    timeline: tuple[TimelineEntry, ...]
    compared: tuple[Compared, ...]
    exposure: tuple[Mapping[str, Any], ...]
    lists: tuple[ListThen, ...]
    numbers: Numbers | None
    stored: tuple[Stored, ...]
    events: Mapping[str, Event]

    @property
    def shown_ids(self) -> frozenset[str]:
        """The ids of all events that the packet shows or rests on."""
        found = {one.statement.event for one in self.timeline}
        found |= {event for table in self.compared for event in table.events}
        found |= {event for one in self.lists for event in one.events}
        found |= {event for finding in self.case.findings for event in finding["events"]}
        return frozenset(found | set(self.numbers.events if self.numbers else ()))


def build_packet(
    store: Store, case_id: str, *, as_of: str | None = None, known_at: str | None = None
) -> Packet:
    """The packet of a case; InputError for an unknown one. The same ledger gives the same."""
    stored = read_case(store, case_id, as_of=as_of, known_at=known_at)
    events = {event.id: event for event in (one.event for one in stored)}
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    now = as_of or known_at or store.last().recorded
    case = case_in(store, engine, events, case_id, now=now)
    statements = all_statements(engine)
    own = {entry.event_id for entry in case.timeline}
    about = [one for one in statements if one.event in own]
    standing = [one for one in about if one.stands]
    asked = _asked(case, standing)
    games = _games(case, standing, engine)
    sides = _sides(case, standing, games)
    signed = first_signatures(engine, statements, events)
    moments = Moments(stored, as_of=as_of, known_at=known_at)
    compared = compare(moments, engine, sides, signed, asked)
    lists = lists_then(moments, engine, sides, signed)
    moments.close()
    in_games = numbers_of(engine)
    numbers = None
    if case.reason == "roster" and asked:
        teams = {team for _, team in sides}
        numbers = trace_numbers(store, teams, asked, as_of=as_of, known_at=known_at)
    rests_on = {event for table in compared for event in table.asked_events}
    rests_on |= _shown_by(case.findings, asked, {one.event: one for one in statements})
    wanted = _Wanted(own, asked, frozenset(sides), {game["game"] for game in games}, rests_on)
    ids = with_withdrawals((one.event for one in statements if wanted.holds(one)), statements)
    chosen = [one for one in statements if one.event in ids]
    chosen.sort(key=lambda one: (one.happened, one.position))
    packet = Packet(
        case=case,
        as_of=as_of,
        known_at=known_at,
        games=games,
        sides=sides,
        asked=asked,
        numbers_of=in_games,
        roles=tuple(engine.answer("role").dicts()),
        timeline=_timeline(store, chosen, statements, events, own, asked, in_games),
        compared=compared,
        exposure=tuple(row for row in engine.answer("exposure").dicts() if row["player"] in asked),
        lists=lists,
        numbers=numbers,
        stored=tuple(stored),
        events=events,
    )
    engine.close()
    return packet


def _asked(case: Case, own: Sequence[Statement]) -> frozenset[str]:
    """The players that the case names, or that a roster question without a player is about.

    Not whom a withdrawn statement named: that was a mistake, and no reason to print a name.
    """
    named = {case.player, *(one.player for one in own if one.kind in CASE)}
    if case.reason == "roster":
        strangers = [row for row in case.findings if row["rule"] == "not_on_roster"]
        named |= {row["player"] for row in strangers if case.team in (row["team"], None)}
    return frozenset(player for player in named if player)


def _games(case: Case, own: Sequence[Statement], engine: Engine) -> tuple[Mapping[str, Any], ...]:
    named = [case.game, *(one.game for one in own)]
    rows = {row["game"]: row for row in engine.answer("game").dicts()}
    return tuple(rows[game] for game in dict.fromkeys(named) if game in rows)


def _sides(
    case: Case, own: Sequence[Statement], games: Sequence[Mapping[str, Any]]
) -> tuple[tuple[str, str], ...]:
    """The teams that the case names in a game; both where it names none.

    None for a question that is no question of the weigh-in, its list or its plays.
    """
    named = [(case.game, case.team), *((one.game, one.team) for one in own)]
    found = [(game, team) for game, team in dict.fromkeys(named) if game and team]
    for row in games if case.reason not in _OF_NO_LIST else ():
        if all(game != row["game"] for game, _ in found):
            found += [(row["game"], row["visitor"]), (row["game"], row["home"])]
    both = {(row["game"], row[side]) for row in games for side in ("home", "visitor")}
    return tuple(side for side in found if side in both)


def _shown_by(
    findings: Sequence[Mapping[str, Any]],
    asked: frozenset[str],
    statements: Mapping[str, Statement],
) -> set[str]:
    """Events of these findings: of a player's where that player, or none, was asked about."""
    found: set[str] = set()
    for row in findings:
        if row["player"] is None:
            found |= {
                one for one in row["events"] if one in statements and not statements[one].player
            }
        elif row["player"] in asked or not asked:
            found |= set(row["events"])
    return found


@dataclass(frozen=True)
class _Wanted:
    """Which statements belong to the timeline."""

    own: set[str]
    asked: frozenset[str]
    sides: frozenset[tuple[str, str]]
    games: set[str]
    rests_on: set[str]

    def holds(self, statement: Statement) -> bool:
        if statement.event in self.own or statement.event in self.rests_on:
            return True
        if "case_id" in statement.says:
            return False
        if statement.player in self.asked:
            return statement.game in self.games or statement.game is None
        if statement.game not in self.games or statement.player or statement.kind not in IN_PACKET:
            return False
        if TABLE[statement.kind].about == "team":
            return (str(statement.game), str(statement.team)) in self.sides
        return True


def _is_of_no_child(one: Statement, about: Statement) -> bool:
    """Whether it takes back what names no child, nor belongs to another case."""
    is_known = one.kind == "withdraw" and about.kind != "withdraw"
    return is_known and about.player is None and "case_id" not in about.says


def _timeline(
    store: Store,
    chosen: Sequence[Statement],
    statements: Sequence[Statement],
    events: Mapping[str, Event],
    own: set[str],
    asked: frozenset[str],
    numbers: Mapping[tuple[str, str, str], int | None],
) -> tuple[TimelineEntry, ...]:
    by_id = {one.event: one for one in statements}
    open_to_us = set()
    for one in chosen:
        about = base_of(one, by_id)
        is_ours = one.event in own or about.player in asked
        if is_ours or one.kind in OF_THING or _is_of_no_child(one, about):
            open_to_us.add(one.event)
    said = said_in(store, open_to_us)
    return tuple(
        TimelineEntry(
            statement=one,
            data=events[one.event].data,
            number=numbers.get(
                (str(one.game), str(one.team), str(one.player)),
                one.says.get("number") if one.game else None,
            ),
            said=said.get(one.event),
            is_erased=one.event in open_to_us and is_erased(events[one.event], said),
            is_own=one.event in own,
        )
        for one in chosen
    )
