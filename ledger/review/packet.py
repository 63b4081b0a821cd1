"""What reviewers get to read about a case: facts from the answers, without layout or words.

A packet takes no side. It contains the case, the statements about its question, eligibility when
the list was signed and now, the signed lists, the numbers of a roster question, and the findings
that touch it. The question is about the `asked` players; papers name only them.
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
from ledger.review.timeline import TimelineEntry, is_erased, said_in
from ledger.store.store import Store, Stored

_OF_NO_LIST = ("safety", "other")


@dataclass(frozen=True)
class Packet:
    """Everything about a case for its reviewers, as of a moment; times are UTC text.

    `sides` are the (game, team) whose lists and eligibility matter; `games` are those the case
    names, the question's first. `stored`, and `events` by id, are the events that were read.
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
        found = found.union(*(table.events for table in self.compared))
        found = found.union(*(one.events for one in self.lists))
        found = found.union(*(finding["events"] for finding in self.case.findings))
        return frozenset(found | set(self.numbers.events if self.numbers else ()))


def build_packet(
    store: Store, case_id: str, *, as_of: str | None = None, known_at: str | None = None
) -> Packet:
    """Build the packet of a case. Raises InputError for an unknown one."""
    stored = read_case(store, case_id, as_of=as_of, known_at=known_at)
    events = {one.id: one.event for one in stored}
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
    worn = numbers_of(engine)
    numbers = None
    if case.reason == "roster" and asked:
        teams = {team for _, team in sides}
        numbers = trace_numbers(store, teams, asked, as_of=as_of, known_at=known_at)
    wanted = own.union(*(table.asked_events for table in compared))
    wanted |= _shown_by(case.findings, asked, {one.event: one for one in statements})
    wanted |= {one.event for one in statements if _is_wanted(one, asked, sides, games)}
    ids = with_withdrawals(wanted & {one.event for one in statements}, statements)
    chosen = [one for one in statements if one.event in ids]
    chosen.sort(key=lambda one: (one.happened, one.position))
    packet = Packet(
        case=case,
        as_of=as_of,
        known_at=known_at,
        games=games,
        sides=sides,
        asked=asked,
        numbers_of=worn,
        roles=tuple(engine.answer("role").dicts()),
        timeline=_timeline(store, chosen, statements, events, own, asked, worn),
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

    Give standing statements only: a name in a withdrawn one was a mistake, so nothing prints it.
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
    """The teams that the case names in a game, or both if it names none.

    A question that is not about the weigh-in, its list or its plays has only the named ones.
    """
    named = [(case.game, case.team), *((one.game, one.team) for one in own)]
    found = [(game, team) for game, team in dict.fromkeys(named) if game and team]
    for row in games if case.reason not in _OF_NO_LIST else ():
        if row["game"] not in dict(found):
            found += [(row["game"], row["visitor"]), (row["game"], row["home"])]
    both = {(row["game"], row[side]) for row in games for side in ("home", "visitor")}
    return tuple(side for side in found if side in both)


def _shown_by(
    findings: Sequence[Mapping[str, Any]],
    asked: frozenset[str],
    statements: Mapping[str, Statement],
) -> set[str]:
    """Events of these findings; a player's only if the case asks about that player or none."""
    found: set[str] = set()
    for row in findings:
        if row["player"] is None:
            here = [statements[one] for one in row["events"] if one in statements]
            found |= {one.event for one in here if not one.player}
        elif row["player"] in asked or not asked:
            found |= set(row["events"])
    return found


def _is_wanted(
    one: Statement,
    asked: frozenset[str],
    sides: Sequence[tuple[str, str]],
    games: Sequence[Mapping[str, Any]],
) -> bool:
    """Whether a statement that belongs to no case is for the timeline."""
    if "case_id" in one.says:
        return False
    is_in_game = one.game in [game["game"] for game in games]
    if one.player:
        return one.player in asked and (is_in_game or one.game is None)
    if not is_in_game or one.kind not in IN_PACKET:
        return False
    return TABLE[one.kind].about != "team" or (one.game, one.team) in sides


def _timeline(
    store: Store,
    chosen: Sequence[Statement],
    statements: Sequence[Statement],
    events: Mapping[str, Event],
    own: set[str],
    asked: frozenset[str],
    numbers: Mapping[tuple[str, str, str], int | None],
) -> tuple[TimelineEntry, ...]:
    """The entries of the chosen statements, without texts about other children and cases."""
    by_id = {one.event: one for one in statements}
    shown = set()
    for one in chosen:
        about = base_of(one, by_id)
        is_ours = one.event in own or about.player in asked or one.kind in OF_THING
        is_known = one.kind == "withdraw" and about.kind != "withdraw"
        if is_ours or (is_known and about.player is None and "case_id" not in about.says):
            shown.add(one.event)
    said = said_in(store, shown)
    return tuple(
        TimelineEntry(
            statement=one,
            data=events[one.event].data,
            number=numbers.get(
                (str(one.game), str(one.team), str(one.player)),
                one.says.get("number") if one.game else None,
            ),
            said=said.get(one.event),
            is_erased=one.event in shown and is_erased(events[one.event], said),
            is_own=one.event in own,
        )
        for one in chosen
    )
