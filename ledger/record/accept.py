"""Accept statements into a ledger: check ids, refs, and targets, then look up numbers.

Two passes: the first checks ids, refs, and targets in ledger order. The second looks up numbers on
rosters, as made by all roster statements and game changes in the ledger and this load, except
withdrawn ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ledger.errors import Fault
from ledger.record.accepted import Accepted, accept_fields
from ledger.record.fields import UNLISTED
from ledger.record.known import InChain, Known
from ledger.record.reading import Place, name_in_id, name_in_id_fault, one_of, shown
from ledger.record.statements import (
    Appoint,
    Assign,
    CaseOpen,
    EnterPlayer,
    OfCase,
    Statement,
    Trained,
    Withdraw,
)
from ledger.record.unread_lines import UnreadLines


@dataclass(frozen=True)
class Candidate:
    """A statement to accept, its place, and its source: (day file, record number)."""

    statement: Statement
    place: Place
    source: tuple[str, int] | None = None


def accept(
    known: Known,
    candidates: Sequence[Candidate],
    *,
    chain: str,
    seq: int,
    clock: str,
    broken: UnreadLines | None = None,
) -> tuple[list[Accepted], list[Fault]]:
    """Return the statements as event bodies for this chain, and every fault.

    `seq` is the first one's number, `clock` is the same for all. `known` also learns the
    statements, even refused ones: use it once. `broken` are lines between them that cannot be read.
    """
    accepted: list[Accepted] = []
    faults: list[Fault] = []
    own = known.chains[chain]
    wrong: set[int] = set()
    for index, candidate in enumerate(candidates):
        more = _check_ids(known, own, candidate)
        stated = _stated(own, candidate)
        if more:
            faults += broken.told(candidate.statement, more) if broken else more
            wrong.add(index)
        # Learn what a faulty line enters or opens: one slip, one fault.
        if not more or not isinstance(candidate.statement, Withdraw):
            known.learn(stated, f"{chain}:{seq + index}", (clock, chain, seq + index))
        accepted.append(stated)
    rosters: dict[tuple[str, str], dict[str, int | None]] = {}
    for index, candidate in enumerate(candidates):
        if index in wrong or not _needs_look_up(candidate.statement):
            continue
        if broken and broken.may_change_rosters:
            broken.unchecked += 1
            continue
        stated = accepted[index]
        assert stated.game is not None
        assert stated.team is not None
        where = stated.game, stated.team
        if where not in rosters:
            rosters[where] = known.roster(stated.team, stated.game)
        player, more = _look_up(stated, *where, candidate.place, rosters[where])
        accepted[index] = replace(stated, player=player)
        faults += more
    return accepted, faults


def unlisted_id(game: str, team: str, number: int) -> str:
    """Return the id of a player who is not on the roster."""
    return f"{UNLISTED}{game}-{team}-{number}"


def _stated(own: InChain, candidate: Candidate) -> Accepted:
    stated = accept_fields(candidate.statement)
    if candidate.source:
        file, record = candidate.source
        stated.data["source"] = {"file": file, "record": record}
    if "target" in stated.data:
        stated.data["target"] = own.refs.get(stated.data["target"], stated.data["target"])
    number = stated.data.get("number")
    by_name = candidate.statement.looks_up_number and "name" in stated.personal
    if by_name and stated.game and stated.team and number is not None:
        return replace(stated, player=unlisted_id(stated.game, stated.team, number))
    return stated


def _needs_look_up(statement: Statement) -> bool:
    given = {name for name in ("number", "name") if getattr(statement, name, None) is not None}
    return statement.looks_up_number and given == {"number"}


def _look_up(
    stated: Accepted, game: str, team: str, place: Place, roster: dict[str, int | None]
) -> tuple[str | None, list[Fault]]:
    number, player = stated.data["number"], stated.player
    if player is not None:
        theirs = roster.get(player)
        if theirs == number or player == unlisted_id(game, team, number):
            return player, []
        has = f"{player} has {theirs}" if theirs is not None else f"{player} has no number"
        found = f"{number}, but {has} on {team} at the kickoff of {game}"
        return player, [place.fault("number", found, "that number, or no number")]
    having = sorted(player for player, theirs in roster.items() if theirs == number)
    if len(having) == 1:
        return having[0], []
    where = f"the roster of {team} at the kickoff of {game}"
    if having:
        found = f"{number} twice on {where} ({', '.join(having)})"
        return None, [place.fault("number", found, "one of these ids as the player")]
    found = f"{number}, which is not on {where}"
    right = "a number on the roster; for a player not on it, the name and the number"
    return None, [place.fault("number", found, right)]


def _check_ids(known: Known, own: InChain, candidate: Candidate) -> list[Fault]:
    statement, place = candidate.statement, candidate.place
    faults = _check_known(known, statement, place)
    if statement.ref is not None and statement.ref in own.refs:
        found = f"{shown(statement.ref)}, which {own.refs[statement.ref]} already has"
        faults.append(place.fault("ref", found, "a ref not used before"))
    match statement:
        case CaseOpen() if statement.case in own.cases:
            faults.append(
                place.fault(
                    "case", f"{shown(statement.case)}, which is already taken", "a new case"
                )
            )
        case OfCase() if not isinstance(statement, CaseOpen) and statement.case not in own.cases:
            right = "a case opened by an earlier case_open"
            faults.append(_unknown(place, "case", statement.case, own.cases, right))
        case Withdraw() if own.refs.get(statement.target, statement.target) not in known.statements:
            right = "the ref of an earlier line, or the event id of an earlier statement"
            faults.append(_unknown(place, "target", statement.target, own.refs, right))
        case EnterPlayer():
            if statement.player in known.players:
                found = f"{shown(statement.player)}, which is already taken"
                faults.append(place.fault("player", found, "a new id"))
            if name_in_id(statement.player, statement.name):
                faults.append(name_in_id_fault(place, statement.player))
        case Appoint(value=official, name=None) if official not in known.officials:
            found = f"nothing, and {shown(official)} is not an official yet"
            faults.append(place.fault("name", found, "the name of the new official"))
    return faults


def _check_known(known: Known, statement: Statement, place: Place) -> list[Fault]:
    faults = []
    game: str | None = getattr(statement, "game", None)
    team: str | None = getattr(statement, "team", None)
    player = None if isinstance(statement, EnterPlayer) else getattr(statement, "player", None)
    official = "an official in officials.csv or an earlier appoint"
    about = statement.value if isinstance(statement, Trained | Assign) else None
    for column, value, ids, right in (
        ("game", game, known.games, "a game in games.csv"),
        ("team", team, known.teams, "a team in teams.csv"),
        ("player", player, known.players, "a player in players.csv or an earlier enter_player"),
        ("by", statement.by, known.officials, official),
        ("value", about, known.officials, official),
    ):
        if value is not None and value not in ids:
            faults.append(_unknown(place, column, value, ids, right))
    if team is not None and game is not None and team in known.teams and game in known.games:
        sides = known.games[game][:2]
        if team not in sides:
            found = f"{shown(team)}, which does not play in {game}"
            faults.append(place.fault("team", found, f"{sides[0]} or {sides[1]}"))
    return faults


def _unknown(place: Place, column: str, value: str, known: Iterable[str], right: str) -> Fault:
    return place.fault(column, shown(value), one_of(known, value, right))
