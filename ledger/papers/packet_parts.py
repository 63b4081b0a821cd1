"""Parts of a packet's paper: whom it names, the timeline, the reviewers, lists, numbers, proof."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from ledger.derive.rule_header import rule_header
from ledger.papers import packet_words, words
from ledger.papers.context import SignatureLine
from ledger.papers.desk import LeagueDesk
from ledger.papers.lists import meaning_of
from ledger.papers.packet_context import (
    ComparedLine,
    ComparedTable,
    ExhibitShown,
    FindingShown,
    ListEntry,
    ListShown,
    Moment,
    NumbersTable,
    ReviewerLine,
    StateShown,
)
from ledger.papers.rule_words import ROLES, count_of, join
from ledger.record.times import format_utc
from ledger.review.cases import Entry
from ledger.review.packet import Packet, Shown
from ledger.review.packet_lists import Compared, ComparedRow, ListThen
from ledger.review.packet_numbers import GameNumbers, Move, Numbers, Worn
from ledger.witness.checked import CheckedProof, SignedState

ERASED = "(what was said here was erased)"
_COLUMNS = 4
"""Columns of a history beside its first, as far as they can be read."""


class Whom:
    """How people are called: the players asked about by number and name, all others by number."""

    def __init__(self, desk: LeagueDesk, packet: Packet) -> None:
        self.desk = desk
        self.packet = packet
        self._teams = {one.event.team for one in packet.stored if one.event.kind == "team"}
        self._roles: dict[str, list[Mapping[str, Any]]] = {}
        for row in packet.roles:
            self._roles.setdefault(row["official"], []).append(row)

    def player(self, player: str, number: int | None) -> str:
        """ "No. 46 Name" for one the question is about, else "No. 46" or the id."""
        called = "" if number is None else f"No. {number}"
        if player in self.packet.asked:
            name = self.desk.names.of(player)
            called = f"{called} {name}" if called else name
            return called if name != player else f"{called} (no name on record)"
        return called or f"player {player}"

    def official(self, official: str) -> str:
        """ "Name, coach of Team": as the roles were ever given."""
        held = [self.role(row) for row in self._roles.get(official, ())]
        return ", ".join([self.desk.names.of(official), *([join(held)] if held else [])])

    def role(self, row: Mapping[str, Any]) -> str:
        return ROLES[row["role"]] + (f" of {self.team(row['team'])}" if row["team"] else "")

    def team(self, team: str) -> str:
        """The name of a team of the game; of another the id."""
        return self.desk.team_name(team) if team in self._teams else team

    def subject(self, shown: Shown) -> str:
        """Whom a statement is about, "" where that is the whole game or the case."""
        told = shown.told
        if told.player:
            return self.player(told.player, shown.number)
        return self.team(told.team) if told.team and told.kind not in ("case_open",) else ""


def lay_timeline(packet: Packet, whom: Whom) -> tuple[tuple[Moment, ...], str]:
    """The moments, and when all of them were recorded, where that was within one minute."""
    zone = whom.desk.zone
    recorded = {words.local_time(one.told.recorded, zone) for one in packet.timeline}
    many = len(recorded) > 1
    moments, day, before = [], "", ""
    for shown in packet.timeline:
        told = shown.told
        today = words.local_date(told.happened, zone)
        subject, what = whom.subject(shown), packet_words.what(shown, zone)
        moments.append(
            Moment(
                day=today if today != day else "",
                gap=packet_words.gap(before, told.happened) if before else "",
                when=words.local_clock(told.happened, zone),
                times=packet_words.times(shown, zone, recorded_too=many),
                what=f"{subject}: {what[:1].lower()}{what[1:]}" if subject else what,
                who=whom.official(told.by),
                id=told.event,
                said=said_words(shown.said, shown.is_erased),
                struck=f"by {told.withdrawn_by}; it does not count" if told.withdrawn_by else "",
                is_own=shown.is_own,
            )
        )
        day, before = today, told.happened
    return tuple(moments), "" if many else recorded.pop()


def said_words(said: str | None, is_erased: bool) -> str:
    """What somebody wrote, in quotation marks."""
    if is_erased:
        return ERASED
    return f"“{said}”" if said else ""


def lay_reviewers(packet: Packet, whom: Whom) -> tuple[ReviewerLine, ...]:
    case = packet.case
    return tuple(
        ReviewerLine(
            rank=rank,
            role=packet_words.role_name(one.role),
            standing=packet_words.reviewer_standing(one.standing),
            is_next=case.state == "open" and one.role == (case.with_role or case.next_reviewer),
            said=tuple(
                _entry(packet, entry, whom)
                for entry in case.timeline
                if one.role in entry.roles and entry.kind not in ("case_open", "withdraw")
            ),
        )
        for rank, one in enumerate(case.reviewers, 1)
    )


def lay_outside(packet: Packet, whom: Whom) -> tuple[str, ...]:
    """Rulings by nobody who reviews such a case."""
    return tuple(
        f"{_entry(packet, entry, whom)} It was not given by a reviewer of such a question, so it"
        " changes nobody’s eligibility."
        for entry in packet.case.timeline
        if entry.has_authority is False
    )


def _entry(packet: Packet, entry: Entry, whom: Whom) -> str:
    shown = next(one for one in packet.timeline if one.told.event == entry.event_id)
    what = packet_words.what(shown, whom.desk.zone)
    about = f" ({whom.subject(shown)})" if shown.told.player else ""
    said = said_words(entry.said, entry.is_erased)
    gone = " Withdrawn: it does not count." if entry.withdrawn_by else ""
    when = words.local_time(entry.happened_at, whom.desk.zone)
    by = whom.desk.names.of(entry.by)
    return f"{when}, {by}: {what}{about}. {said}{gone} [{entry.event_id}]".replace("  ", " ")


def lay_compared(table: Compared, whom: Whom) -> ComparedTable:
    zone = whom.desk.zone
    extra = any(row.was_recorded_otherwise for row in table.rows)
    signed = bool(table.signed_at)
    then = f"When the list was first signed, {words.local_time(table.signed_at, zone)}" if (
        table.signed_at
    ) else "Nobody signed"  # fmt: skip
    recorded_at = words.local_time(table.recorded_at, zone) if table.recorded_at else ""
    clock = ""
    if signed and not extra:
        same = all(_eligible(row.recorded) == _eligible(row.then) for row in table.rows)
        clock = (
            f"The ledger’s own clock received that signature {recorded_at}; what it had received"
            f" by then gives the same as {'when it was signed' if same else 'now'}."
        )
    rest = ""
    if table.others:
        held = "has the same row" if table.others == 1 else "have the same row"
        rest = f"The other {count_of(table.others, 'player')} of the team {held} then and now."
    return ComparedTable(
        title=f"{whom.team(table.team)}, game {table.game}",
        then=then,
        recorded=f"As the ledger had received it by {recorded_at}" if extra else "",
        now=f"As of {words.local_time(whom.packet.as_of, zone)}" if whom.packet.as_of else "Now",
        lines=tuple(_compared_line(row, whom, signed) for row in table.rows),
        clock=clock,
        rest=rest,
    )


def _compared_line(row: ComparedRow, whom: Whom, signed: bool) -> ComparedLine:
    return ComparedLine(
        player=whom.player(row.player, row.number),
        is_asked=row.is_asked,
        then=_eligible(row.then) if signed else "–",
        recorded=_eligible(row.recorded),
        now=_eligible(row.now),
        differs=signed and row.differs,
    )


def _eligible(row: Mapping[str, Any] | None) -> str:
    return packet_words.eligible(row)


def lay_list(one: ListThen, whom: Whom) -> ListShown:
    zone, desk = whom.desk.zone, whom.desk
    game = next(row for row in whom.packet.games if row["game"] == one.game)
    sides = (one.team, *(game[key] for key in ("visitor", "home") if game[key] != one.team))
    given: dict[str, list[Mapping[str, Any]]] = {side: [] for side in sides}
    for row in one.signatures:
        given[row["side"]].append(row)
    lines = [
        SignatureLine(
            side=whom.team(side),
            meaning=meaning_of(one.team, side),
            name=desk.names.of(row["official"]),
            signed_at=words.local_time(row["signed_at"], zone),
            how=row["how"],
            id=row["event_id"],
            changed=not row["is_current"],
        )
        for side, rows in given.items()
        for row in rows
    ]
    missing = [whom.team(side) for side, rows in given.items() if not rows]
    digests = [
        f"{event_id} signed the list with the number {words.short_hash(digest)}"
        + (", which is its number now." if digest == one.digest else ", not its number now.")
        for event_id, digest in one.digests.items()
        if digest
    ]
    digests += [f"No weighmaster of {team} signed it." for team in missing]
    return ListShown(
        title=f"{whom.team(one.team)}, game {one.game}",
        lines=tuple(_list_entry(line.row, line.standing, whom) for line in one.lines),
        signatures=tuple(lines),
        digests=tuple(digests),
    )


def _list_entry(row: Mapping[str, Any], standing: str, whom: Whom) -> ListEntry:
    zone = whom.desk.zone
    by = whom.desk.names.of
    struck = (
        f"{words.local_time(row['struck_at'], zone)}, {by(row['struck_by'])}"
        if row["struck_at"]
        else ""
    )
    return ListEntry(
        player=whom.player(row["player"], row["number"]),
        is_asked=row["player"] in whom.packet.asked,
        reason=row["reason"],
        listed=f"{words.local_time(row['listed_at'], zone)}, {by(row['listed_by'])}",
        struck=struck,
        standing=packet_words.STANDING_OF_LINE[standing],
    )


def lay_numbers(numbers: Numbers, whom: Whom) -> tuple[NumbersTable, ...]:
    """First each player's numbers, then each number's players, four columns at a time."""
    tables = []
    for players in _in_fours(numbers.players):
        columns = tuple(whom.player(player, None) for player in players)
        rows = tuple(
            (_step(step, whom), tuple(_number_in(step, player, whom) for player in players),
             isinstance(step, Move))
            for step in numbers.steps
        )  # fmt: skip
        tables.append(NumbersTable(caption="Which number a player had", columns=columns, rows=rows))
    for held in _in_fours(numbers.numbers):
        columns = tuple(f"No. {number}" for number in held)
        rows = tuple(
            (_step(step, whom), tuple(_player_of(step, number, whom) for number in held),
             isinstance(step, Move))
            for step in numbers.steps
        )  # fmt: skip
        tables.append(NumbersTable(caption="Who had a number", columns=columns, rows=rows))
    return tuple(tables)


def _step(step: GameNumbers | Move, whom: Whom) -> str:
    day = words.local_date(step.at, whom.desk.zone)
    return f"{day}: {f'game {step.game}' if isinstance(step, GameNumbers) else 'roster changed'}"


def _number_in(step: GameNumbers | Move, player: str, whom: Whom) -> str:
    if isinstance(step, Move):
        return _moved(step, whom) if step.player == player else ""
    return "; ".join(_worn(one) for one in step.worn if one.player == player) or "–"


def _player_of(step: GameNumbers | Move, number: int, whom: Whom) -> str:
    if isinstance(step, Move):
        if step.number != number:
            return ""
        return f"{whom.player(step.player, None)}: {_moved(step, whom)}"
    found = []
    for one in step.worn:
        called = f"{whom.player(one.player, None)}"
        if one.on_roster == number:
            found.append(called)
        elif number in one.stated:
            found.append(f"{called} (as stated{'' if one.is_on else '; on no roster'})")
    return "; ".join(found) or "–"


def _worn(one: Worn) -> str:
    stated = join([str(number) for number in one.stated])
    if not one.is_on:
        return f"Not on the roster; stated {stated}" if stated else "Not on the roster"
    held = "no number" if one.on_roster is None else str(one.on_roster)
    if one.stated and one.stated != (one.on_roster,):
        return f"{held}; stated {stated}"
    return held if one.stated else f"{held}, not in the game’s statements"


def _moved(step: Move, whom: Whom) -> str:
    number = "" if step.number is None else f" as {step.number}"
    return {
        "number_change": f"Becomes {step.number}",
        "roster_drop": f"Off the roster of {whom.team(step.team)}",
    }.get(step.kind, f"On the roster of {whom.team(step.team)}{number}")


def _in_fours(held: Sequence[Any]) -> Iterable[Sequence[Any]]:
    return [held[start : start + _COLUMNS] for start in range(0, len(held), _COLUMNS)]


def lay_finding(row: Mapping[str, Any], whom: Whom) -> FindingShown:
    header = rule_header(row["rule"])
    number = whom.packet.numbers_of.get((row["game"], row["team"], row["player"]))
    parts = [
        row["game"] or "",
        whom.team(row["team"]) if row["team"] else "",
        whom.player(row["player"], number) if row["player"] else "",
        whom.desk.names.of(row["official"]) if row["official"] else "",
        f"for {whom.team(row['side'])}" if row["side"] else "",
    ]
    purpose = header.what
    look = [ROLES.get(role, role) for role in header.look]
    events = row["events"]
    more = f" and {len(events) - 6} more" if len(events) > 6 else ""
    return FindingShown(
        whom=", ".join(part for part in parts if part),
        purpose=purpose[:1].upper() + purpose[1:] + ".",
        detail=row["detail"],
        look=f"For the {join(look, 'or the')}",
        events=", ".join(events[:6]) + more,
    )


def lay_exhibits(packet: Packet, whom: Whom) -> tuple[ExhibitShown, ...]:
    said = {
        entry.event_id: said_words(entry.said, entry.is_erased) for entry in packet.case.timeline
    }
    found = []
    for one in packet.case.exhibits:
        kept = "The ledger keeps the file." if one.kept_as else "The ledger keeps its number only."
        if one.copy_sha256:
            kept = "A redacted copy is in its place; the second number is the copy’s."
        found.append(
            ExhibitShown(
                id=one.event_id,
                by=whom.official(one.by),
                said=said[one.event_id],
                kept=kept,
                digest=one.sha256,
                copy=one.copy_sha256 or "",
            )
        )
    return tuple(found)


def lay_states(checked: CheckedProof, whom: Whom) -> tuple[StateShown, ...]:
    """Every signed state that the proof holds, the latest first."""
    return tuple(
        _state(checked, chain.chain, state, whom)
        for chain in checked.chains
        for state in ((chain.state, *reversed(chain.earlier)) if chain.state else ())
    )


def _state(checked: CheckedProof, chain: str, state: SignedState, whom: Whom) -> StateShown:
    owners = {one.key: one for one in checked.keys}
    own = next(
        one for one in checked.keys if one.event.kind == "chain_key" and one.event.chain == chain
    )
    signers = [("The ledger itself", "", own.key.key_id.hex())]
    for one in state.cosignatures:
        owner = owners[one.key].owner if one.key in owners else one.key.name
        when = format_utc(datetime.fromtimestamp(one.time, UTC))
        signers.append(
            (whom.official(owner), words.local_time(when, whom.desk.zone), one.key.key_id.hex())
        )
    return StateShown(
        size=f"{state.checkpoint.size:,} entries", chain=chain, signers=tuple(signers)
    )
