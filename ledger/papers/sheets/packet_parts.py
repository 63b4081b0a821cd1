"""Parts of a packet: people's names, timeline, reviewers, findings, exhibits, who signed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from ledger.derive.statements import Statement
from ledger.errors import count_of
from ledger.papers.sheets.packet_context import (
    ReviewerLine,
    StateShown,
)
from ledger.papers.sheets.source import LeagueSource
from ledger.record.authority import role_name
from ledger.record.kinds import CASE_TELLS
from ledger.record.times import format_utc
from ledger.review.cases import Entry
from ledger.review.packet import Packet
from ledger.review.timeline import TimelineEntry
from ledger.say import cases, packets, stated, words
from ledger.say.exhibits import letter_of
from ledger.say.names import ERASED as ERASED_NAME
from ledger.say.words import join
from ledger.witness.checked import CheckedProof

ERASED = "(what was said here was erased)"
TIMELINE = "What the ledger shows"
MOST_LETTERS = 400
"""Letters of a remark shown outside the timeline; the length is ours."""
_MOST_SAID = 4
"""Remarks shown beside a reviewer; if there are more, only the timeline has them."""


class Whom:
    """What to call people: players in question by number and name, all others by number."""

    def __init__(self, source: LeagueSource, packet: Packet, teams: Mapping[str, str]) -> None:
        """`teams` are names by id, for the teams of the question and of its officials."""
        self.source = source
        self.packet = packet
        self._teams = teams
        self._letters = {
            one.event_id: letter_of(place) for place, one in enumerate(packet.case.exhibits)
        }
        self._roles: dict[str, list[Mapping[str, Any]]] = {}
        games = {None, *(game["game"] for game in packet.games)}
        for row in packet.roles:
            if row["game"] in games:
                self._roles.setdefault(row["official"], []).append(row)

    def player(self, player: str, number: int | None) -> str:
        """ "No. 46 Name" for a player in question, else "No. 46" or the id.

        A namesake has the id too: "No. 46 Name (k12)".
        """
        called = "" if number is None else f"No. {number}"
        if player in self.packet.namesakes:
            return f"{called} {self.named(player, number)} ({player})".strip()
        if player in self.packet.asked:
            named = self.named(player, number)
            return named if named == called else f"{called} {named}".strip()
        return called or f"another player, {player}"

    def named(self, player: str, number: int | None) -> str:
        """The name of a player in question, or "id (no name on record)"."""
        name = self.source.names.child(player, number)
        if name == ERASED_NAME:
            return "(name erased)"
        return name if name != player else f"{player} (no name on record)"

    def official(self, official: str) -> str:
        """ "Name, coach and weighmaster of Team", with every role ever given."""
        of: dict[tuple[str, str, bool], list[str]] = {}
        for row in self._roles.get(official, ()):
            where = row["team"] or "", row["game"] or "", row["has_authority"]
            of.setdefault(where, []).append(role_name(row["role"]))
        held = [
            join(roles)
            + (f" of {self.team(team)}" if team else "")
            + (f" in {game}" if game else "")
            + ("" if has_authority else stated.NO_AUTHORITY)
            for (team, game, has_authority), roles in of.items()
        ]
        return ", ".join([self.source.names.of(official), *([join(held)] if held else [])])

    def eligible(self, row: Mapping[str, Any] | None) -> str:
        """A row of eligibility in words; a ruling with its case."""
        own = self.packet.case.case_id
        cases = self.packet.rulings_of(row) if row else ()
        return packets.eligible(
            row, join(["this case" if one == own else f"case {one}" for one in cases])
        )

    def team(self, team: str) -> str:
        return self._teams.get(team, team)

    def what(self, shown: TimelineEntry) -> str:
        """What a statement says; a file handed in for this case by its letter."""
        letter = self._letters.get(shown.statement.event)
        if letter:
            return f"Handed in exhibit {letter}"
        what, says = packets.what(shown, self.source.zone), shown.statement.says
        if shown.statement.kind == "appoint":
            return what.replace(says["value"], self.source.names.of(says["value"]), 1)
        return what

    def subject(self, shown: TimelineEntry) -> str:
        """The player or team of a statement; "" if it is about the whole game or the case."""
        statement = shown.statement
        if statement.player:
            return self.player(statement.player, shown.number)
        is_teams = statement.team and statement.kind != "case_open"
        return self.team(str(statement.team)) if is_teams else ""


def struck_words(statement: Statement) -> str:
    """What withdrew a statement; "" if nothing did."""
    return f"by {statement.withdrawn_by}; it does not count" if statement.withdrawn_by else ""


def said_words(said: str | None, is_erased: bool) -> str:
    """A remark in quotation marks, or a note that it was erased; "" for none."""
    if is_erased:
        return ERASED
    return f"“{said}”" if said else ""


def said_briefly(said: str | None, is_erased: bool) -> str:
    """The remark, cut off after MOST_LETTERS."""
    if not said or is_erased or len(said) <= MOST_LETTERS:
        return said_words(said, is_erased)
    return f"{said_words(f'{said[:MOST_LETTERS].rstrip()} …', is_erased)} (whole in “{TIMELINE}”)"


def lay_reviewers(packet: Packet, whom: Whom) -> tuple[ReviewerLine, ...]:
    case = packet.case
    return tuple(
        ReviewerLine(
            rank=rank,
            role=words.upper_first(role_name(one.role)),
            standing=words.upper_first(cases.standing(case, one)),
            is_next=one.role == case.with_role,
            said=_had(packet, one.role, whom),
        )
        for rank, one in enumerate(case.reviewers, 1)
    )


def _had(packet: Packet, role: str, whom: Whom) -> tuple[str, ...]:
    """What people with this role did in the case; many remarks are only counted."""
    own = [
        entry
        for entry in packet.case.timeline
        if role in entry.roles and entry.kind not in ("case_open", "withdraw")
    ]
    said = [entry for entry in own if entry.kind in CASE_TELLS]
    if len(said) <= _MOST_SAID:
        return tuple(_entry(packet, entry, whom) for entry in own)
    done = [_entry(packet, entry, whom) for entry in own if entry.kind not in CASE_TELLS]
    return (f"Said something {len(said)} times: see “{TIMELINE}”.", *done)


def lay_outside(packet: Packet, whom: Whom) -> tuple[str, ...]:
    """Rulings that no reviewer of such a case gave."""
    return tuple(
        f"{_entry(packet, entry, whom)} This did not come from a reviewer of such a question, so it"
        " changes nobody’s eligibility."
        for entry in packet.case.timeline
        if entry.has_authority is False
    )


def shown_of(packet: Packet, entry: Entry) -> TimelineEntry:
    """A case's entry in the timeline."""
    return next(one for one in packet.timeline if one.statement.event == entry.event_id)


def _entry(packet: Packet, entry: Entry, whom: Whom) -> str:
    shown = shown_of(packet, entry)
    what = whom.what(shown)
    about = f" ({whom.subject(shown)})" if shown.statement.player else ""
    said = said_briefly(entry.said, entry.is_erased)
    gone = " Withdrawn: it does not count." if entry.withdrawn_by else ""
    when = whom.source.time(entry.happened_at)
    by = whom.source.names.of(entry.by)
    return f"{when}, {by}: {what}{about}. {said}{gone} [{entry.event_id}]".replace("  ", " ")


def lay_states(checked: CheckedProof, whom: Whom) -> tuple[StateShown, ...]:
    """Every signed state in the proof, the latest first."""
    owners = {one.key: one.owner for one in checked.keys}
    own = {one.event.chain: one.key for one in checked.keys if one.event.kind == "chain_key"}
    found = []
    for chain in checked.chains:
        for state in (chain.state, *reversed(chain.earlier)) if chain.state else ():
            signers = [("The ledger itself", "", own[chain.chain].key_id.hex())]
            for one in state.cosignatures:
                by = whom.official(owners.get(one.key, one.key.name))
                when = whom.source.time(format_utc(datetime.fromtimestamp(one.time, UTC)))
                signers.append((by, when, one.key.key_id.hex()))
            size = count_of(state.checkpoint.size, "entry", "entries")
            found.append(StateShown(size=size, chain=chain.chain, signers=tuple(signers)))
    return tuple(found)
