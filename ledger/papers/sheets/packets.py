"""The review packet and the protest packet of a case, from `ledger.review.packet`."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import replace
from typing import Literal, Unpack

from ledger.chain.event import Event
from ledger.errors import count_of
from ledger.papers.press.attachment import Attachment
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.documents import name_of
from ledger.papers.sheets.packet_case_parts import lay_others
from ledger.papers.sheets.packet_context import PacketPaper
from ledger.papers.sheets.packet_decision import deciding_role, lay_decision
from ledger.papers.sheets.packet_exhibits import lay_exhibits
from ledger.papers.sheets.packet_front import lay_front
from ledger.papers.sheets.packet_list_parts import lay_list
from ledger.papers.sheets.packet_parts import (
    TIMELINE,
    Whom,
    lay_outside,
    lay_reviewers,
    lay_states,
)
from ledger.papers.sheets.packet_protest_parts import lay_protest
from ledger.papers.sheets.packet_record_parts import lay_findings, lay_timeline
from ledger.papers.sheets.packet_tables import (
    lay_compared,
    lay_history,
    lay_leads,
    lay_numbers,
)
from ledger.papers.sheets.source import LeagueSource, Moments
from ledger.record.kinds import BRINGS_IN
from ledger.review.packet import Packet, build_packet
from ledger.review.packet_proof import choose_shown, list_statements, prove_packet
from ledger.review.packet_protest import build_protest
from ledger.say import words
from ledger.store.store import Store
from ledger.witness.checked import CheckedProof
from ledger.witness.proof import pack_proof

Kind = Literal["review_packet", "protest_packet"]
PROOF, STATEMENTS = "statements.proof", "statements.json"
_SECTIONS = (
    ("reviewers", "Who reviews it, in order"),
    ("sides", "What each side says"),
    ("agreed", "What is agreed, and what is not"),
    ("tried", "What each ruling would change"),
    ("then-and-now", "Eligibility then and now"),
    ("history", "Marks and weighs in this division"),
    ("numbers", "Numbers on the roster and in the entries"),
    ("timeline", TIMELINE),
    ("lists", "The lists as signed"),
    ("findings", "Findings that touch it"),
    ("others", "Other cases"),
    ("check", "How to check this paper"),
)
_ONLY_PROTEST = ("sides", "agreed", "tried")


def review_packet(heads: Heads, case: str, **moments: Unpack[Moments]) -> Sheet:
    """The packet for the reviewers of a case."""
    return packet_sheet(heads, case, "review_packet", **moments)


def protest_packet(heads: Heads, case: str, **moments: Unpack[Moments]) -> Sheet:
    """The review packet, plus both sides' words and what each ruling would change."""
    return packet_sheet(heads, case, "protest_packet", **moments)


def packet_sheet(
    heads: Heads, case_id: str, kind: Kind | None = None, **moments: Unpack[Moments]
) -> Sheet:
    """A packet of a case with its statements and their proof attached.

    The default `kind` is the protest packet for a protest, else the review packet. Raises
    InputError for an unknown case.
    """
    store = heads.store
    packet = build_packet(store, case_id, **moments)
    kind = kind or ("protest_packet" if packet.case.reason == "protest" else "review_packet")
    whom = _whom(heads, packet)
    choice = choose_shown(store, packet)
    proved = prove_packet(store, choice)
    content = {"case": case_id, "statements": list_statements(store, choice)}
    text = json.dumps(content, ensure_ascii=False, indent=1) + "\n"
    said = f"The statements of the case {case_id}"
    files = [_file(STATEMENTS, text.encode(), "application/json", f"{said}, to read")]
    paper = _paper(packet, whom, kind)
    if isinstance(proved, str):
        paper = replace(paper, no_proof=proved)
    else:
        proof, checked = proved
        paper = replace(
            paper,
            states=lay_states(checked, whom),
            proof_name=PROOF,
            proof_says=_proved(checked, choice.ids),
        )
        said += " with their proof, for weighbook check"
        files.append(_file(PROOF, pack_proof(proof), "application/gzip", said))
    return whom.source.sheet(kind, paper, *files, case=case_id)


def _proved(checked: CheckedProof, listed: Collection[str]) -> str:
    """What the check of the proof counts; `listed` are the statements in the other file."""
    entries = count_of(len(checked.events), "entry", "entries")
    more = len({event.id for event in checked.events} - set(listed))
    carry = "carries a key" if more == 1 else "carry keys and roles"
    besides = f" (the {len(listed)} of {STATEMENTS} and {more} that {carry})" if more else ""
    return f"{entries}{besides} and {count_of(len(checked.texts), 'text')}"


def _file(name: str, content: bytes, media_type: str, description: str) -> Attachment:
    return Attachment(
        name=name,
        content=content,
        media_type=media_type,
        description=description,
        relationship="Source",
    )


def _whom(heads: Heads, packet: Packet) -> Whom:
    """The names on the paper: teams are those in the packet's events and in officials' roles."""
    read = {event.team for event in packet.events.values() if event.kind == "team"}
    named = {team for team in read | {row["team"] for row in packet.roles} if team}
    store = heads.store
    teams = [one.event for one in store.events(kind=["team"], team=sorted(named))]
    source = LeagueSource(
        heads,
        [*packet.events.values(), *teams, *_officials(store, packet)],
        packet.case.timeline[0].event_id.rpartition(":")[0],
        as_of=packet.as_of,
        known_at=packet.known_at,
    )
    return Whom(source, packet, {team: source.team_name(team) for team in named})


def _paper(packet: Packet, whom: Whom, kind: Kind) -> PacketPaper:
    case, source = packet.case, whom.source
    is_protest = kind == "protest_packet"
    built = build_protest(packet)
    of_game = source.of_game(packet.games[0]) if packet.games else {}
    moments, recorded = lay_timeline(packet, whom)
    history, history_note = lay_history(packet, whom)
    leads, leads_notes = lay_leads(packet, whom)
    left_out = packet.numbers.left_out if packet.numbers else 0
    return PacketPaper(
        head=source.head(**of_game),
        title=words.upper_first(name_of(kind)),
        case_id=case.case_id,
        front=lay_front(packet, built, whom),
        decision=lay_decision(packet, _holders(packet, whom), whom),
        exhibits=lay_exhibits(packet, whom),
        sections=_sections(packet, is_protest),
        moments=moments,
        recorded=recorded,
        reviewers=lay_reviewers(packet, whom),
        outside=lay_outside(packet, whom),
        compared=tuple(lay_compared(table, whom) for table in packet.compared),
        lists=tuple(lay_list(one, whom) for one in packet.lists),
        history=history,
        history_note=history_note,
        leads=leads,
        leads_notes=leads_notes,
        numbers=lay_numbers(packet.numbers, whom) if packet.numbers else (),
        numbers_note=f"{left_out} more players or numbers are not shown." if left_out else "",
        others=lay_others(packet, whom),
        findings=lay_findings(packet, whom),
        states=(),
        statements_name=STATEMENTS,
        proof_name="",
        proof_says="",
        no_proof="",
        protest=lay_protest(built, whom) if is_protest else None,
    )


def _sections(packet: Packet, is_protest: bool) -> tuple[tuple[str, str], ...]:
    left_out = set() if is_protest else set(_ONLY_PROTEST)
    left_out |= set() if packet.numbers else {"numbers"}
    left_out |= set() if packet.sides else {"then-and-now", "lists"}
    left_out |= set() if packet.history else {"history"}
    left_out |= set() if packet.games or packet.asked else {"others"}
    return tuple(section for section in _SECTIONS if section[0] not in left_out)


def _holders(packet: Packet, whom: Whom) -> list[str]:
    """The officials who were ever given the role that decides."""
    role = deciding_role(packet.case)
    found = set()
    for event in _officials(whom.source.store, packet):
        if role in (event.data.get("role"), event.data.get("to")):
            found.add(event.data["value" if event.kind == "appoint" else "official"])
    return sorted(found)


def _officials(store: Store, packet: Packet) -> list[Event]:
    """What made officials of people, as far as it was known at the packet's moment."""
    return [
        one.event
        for one in store.events(kind=list(BRINGS_IN["official"]))
        if (packet.known_at is None or one.event.recorded <= packet.known_at)
        and (packet.as_of is None or (one.event.entered or "") <= packet.as_of)
    ]
