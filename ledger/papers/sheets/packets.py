"""The review packet and the protest packet of a case: from `ledger.review.packet` to the paper."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from ledger.errors import count_of
from ledger.papers.press.finish import Attachment
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.packet_context import PacketPaper, ProtestShown
from ledger.papers.sheets.packet_front import decides, lay_facts, lay_signatures, who_in_question
from ledger.papers.sheets.packet_parts import (
    TIMELINE,
    Whom,
    lay_exhibits,
    lay_finding,
    lay_outside,
    lay_reviewers,
    lay_states,
    lay_timeline,
    said_briefly,
)
from ledger.papers.sheets.packet_protest_parts import lay_protest
from ledger.papers.sheets.packet_tables import lay_compared, lay_list, lay_numbers
from ledger.papers.sheets.source import LeagueSource
from ledger.review.packet import Packet, build_packet
from ledger.review.packet_proof import choose_shown, list_statements, prove_packet
from ledger.review.packet_protest import build_protest
from ledger.say import codes, packets, words
from ledger.witness.proof import Proof
from ledger.witness.proof_file import pack_proof

Kind = Literal["review_packet", "protest_packet"]
PROOF, STATEMENTS = "statements.proof", "statements.json"
_SECTIONS = (
    ("reviewers", "Who reviews it, in order"),
    ("sides", "What each side says"),
    ("agreed", "What is agreed, and what is not"),
    ("tried", "What each ruling would change"),
    ("then-and-now", "Eligibility then and now"),
    ("numbers", "Who wore which number"),
    ("timeline", TIMELINE),
    ("lists", "The lists as signed"),
    ("findings", "Findings that touch it"),
    ("exhibits", "Exhibits"),
    ("determination", "Determination"),
    ("check", "How to check this paper"),
)
_ONLY_PROTEST = ("sides", "agreed", "tried")


def review_packet(heads: Heads, case: str, **moments: str | None) -> Sheet:
    """The packet for those who review the case."""
    return packet_sheet(heads, case, "review_packet", **moments)


def protest_packet(heads: Heads, case: str, **moments: str | None) -> Sheet:
    """The same, with both sides' words and what each ruling would change."""
    return packet_sheet(heads, case, "protest_packet", **moments)


def packet_sheet(
    heads: Heads,
    case_id: str,
    kind: Kind | None = None,
    *,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Sheet:
    """A packet of a case with its statements and their proof attached.

    Without `kind` it is the protest packet of a protest, else the review packet. Raises InputError
    for an unknown case.
    """
    store = heads.store
    packet = build_packet(store, case_id, as_of=as_of, known_at=known_at)
    kind = kind or ("protest_packet" if packet.case.reason == "protest" else "review_packet")
    source = _source(heads, packet)
    whom = Whom(source, packet, {team: source.team_name(team) for team in _teams(packet)})
    choice = choose_shown(store, packet)
    proved = prove_packet(store, choice)
    protest = None
    if kind == "protest_packet":
        protest = lay_protest(build_protest(packet), whom)
    paper = _paper(packet, whom, kind, protest)
    files = [_statements(case_id, list_statements(store, choice))]
    if isinstance(proved, str):
        paper = replace(paper, no_proof=proved)
    else:
        proof, checked = proved
        entries = count_of(len(checked.events), "entry", "entries")
        paper = replace(
            paper,
            states=lay_states(checked, whom),
            proof_name=PROOF,
            proof_says=f"{entries} and {count_of(len(checked.texts), 'text')}",
        )
        files.append(_proof(case_id, proof))
    return source.sheet(kind, paper, *files, case=case_id)


def _statements(case_id: str, statements: Sequence[Mapping[str, Any]]) -> Attachment:
    text = json.dumps({"case": case_id, "statements": statements}, ensure_ascii=False, indent=1)
    return Attachment(
        name=STATEMENTS,
        content=f"{text}\n".encode(),
        media_type="application/json",
        description=f"The statements of the case {case_id}, to be read",
        relationship="Source",
    )


def _proof(case_id: str, proof: Proof) -> Attachment:
    return Attachment(
        name=PROOF,
        content=pack_proof(proof),
        media_type="application/gzip",
        description=f"The statements of the case {case_id} with their proof, for weighbook check",
        relationship="Source",
    )


def _source(heads: Heads, packet: Packet) -> LeagueSource:
    teams = [one.event for one in heads.store.events(kind=["team"], team=sorted(_teams(packet)))]
    chain = packet.case.timeline[0].event_id.rpartition(":")[0]
    events = [*packet.events.values(), *teams]
    return LeagueSource(heads, events, chain=chain, as_of=packet.as_of, known_at=packet.known_at)


def _teams(packet: Packet) -> set[str]:
    """The teams that the paper names: those of what was read, and of officials' roles."""
    read = {event.team for event in packet.events.values() if event.kind == "team"}
    return {team for team in read | {row["team"] for row in packet.roles} if team}


def _paper(packet: Packet, whom: Whom, kind: Kind, protest: ProtestShown | None) -> PacketPaper:
    case, source = packet.case, whom.source
    of_game = source.of_game(packet.games[0]) if packet.games else {}
    moments, recorded = lay_timeline(packet, whom)
    left_out = packet.numbers.left_out if packet.numbers else 0
    return PacketPaper(
        head=source.head(**of_game),
        title=words.upper_first(codes.DOCUMENTS[kind]),
        case_id=case.case_id,
        sections=_sections(packet, protest),
        question=packets.question(case.reason, who_in_question(packet, whom), case.game or ""),
        asked=f"Asked by {whom.official(case.opened_by)}, {source.time(case.opened_at)}",
        said=said_briefly(case.opening.said, case.opening.is_erased),
        facts=lay_facts(packet, whom),
        moments=moments,
        recorded=recorded,
        reviewers=lay_reviewers(packet, whom),
        outside=lay_outside(packet, whom),
        compared=tuple(lay_compared(table, whom) for table in packet.compared),
        lists=tuple(lay_list(one, whom) for one in packet.lists),
        numbers=lay_numbers(packet.numbers, whom) if packet.numbers else (),
        numbers_note=f"{left_out} more players or numbers are not shown." if left_out else "",
        findings=tuple(lay_finding(row, whom) for row in case.findings),
        exhibits=lay_exhibits(packet, whom),
        decides=decides(case),
        about_players=bool(packet.sides),
        signatures=lay_signatures(packet, whom),
        states=(),
        statements_name=STATEMENTS,
        proof_name="",
        proof_says="",
        no_proof="",
        protest=protest,
    )


def _sections(packet: Packet, protest: ProtestShown | None) -> tuple[tuple[str, str], ...]:
    left_out = set() if protest else set(_ONLY_PROTEST)
    left_out |= set() if packet.numbers else {"numbers"}
    left_out |= set() if packet.sides else {"then-and-now", "lists"}
    left_out |= {"determination"} if packet.case.state == "withdrawn" else set()
    return tuple(section for section in _SECTIONS if section[0] not in left_out)
