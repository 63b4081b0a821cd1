"""The review packet and the protest packet of a case: from `ledger.review.packet` to the paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal

from ledger.papers import packet_words, words
from ledger.papers.context import SignatureLine
from ledger.papers.desk import LeagueDesk, Sheet
from ledger.papers.finish import Attachment
from ledger.papers.packet_context import Fact, PacketPaper, ProtestShown
from ledger.papers.packet_parts import (
    Whom,
    lay_exhibits,
    lay_finding,
    lay_outside,
    lay_reviewers,
    lay_states,
    lay_timeline,
    said_words,
)
from ledger.papers.packet_protest_parts import lay_protest
from ledger.papers.packet_tables import lay_compared, lay_list, lay_numbers
from ledger.papers.rule_words import ROLES
from ledger.review.packet import Packet, build_packet
from ledger.review.packet_proof import prove_packet
from ledger.review.packet_protest import build_protest
from ledger.store.store import Store
from ledger.witness.proof_file import pack_proof

Kind = Literal["review_packet", "protest_packet"]
PROOF = "statements.proof"
_TITLES = {"review_packet": "Review packet", "protest_packet": "Protest packet"}
_SECTIONS = (
    ("reviewers", "Who reviews it, in order"),
    ("sides", "What each side says"),
    ("agreed", "What is agreed, and what is not"),
    ("tried", "What each ruling would change"),
    ("then-and-now", "Eligibility then and now"),
    ("numbers", "Who wore which number"),
    ("timeline", "What the ledger shows"),
    ("lists", "The lists as signed"),
    ("findings", "Findings that touch it"),
    ("exhibits", "Exhibits"),
    ("determination", "Determination"),
    ("check", "How to check this paper"),
)
_ONLY_PROTEST = ("sides", "agreed", "tried")
_DECIDES = "I decide this question as written here."
_TOLD = "I was told this decision."


def packet_sheet(
    store: Store,
    case_id: str,
    kind: Kind,
    *,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Sheet:
    """A packet of a case with its proof attached; InputError for an unknown case."""
    packet = build_packet(store, case_id, as_of=as_of, known_at=known_at)
    desk = _desk(store, packet)
    whom = Whom(desk, packet)
    proved = prove_packet(store, packet)
    protest = None
    if kind == "protest_packet":
        protest = lay_protest(build_protest(packet), whom)
    paper = _paper(packet, whom, kind, protest)
    if isinstance(proved, str):
        return desk.sheet(kind, replace(paper, no_proof=proved))
    proof, checked = proved
    paper = replace(
        paper,
        states=lay_states(checked, whom),
        proof_name=PROOF,
        proof_says=f"{len(checked.events):,} entries and {len(checked.told):,} texts",
    )
    sheet = desk.sheet(kind, paper)
    file = Attachment(
        name=PROOF,
        content=pack_proof(proof),
        media_type="application/gzip",
        description=f"The statements of the case {case_id} with their proof, for weighbook check",
        relationship="Source",
    )
    return replace(sheet, attachments=(*sheet.attachments, file))


def _desk(store: Store, packet: Packet) -> LeagueDesk:
    events = [one.event for one in packet.stored]
    chain = packet.case.timeline[0].event_id.rpartition(":")[0]
    return LeagueDesk(store, events, chain=chain)


def _paper(packet: Packet, whom: Whom, kind: Kind, protest: ProtestShown | None) -> PacketPaper:
    case, desk = packet.case, whom.desk
    opening = next(
        (one for one in case.timeline if one.kind == "case_open" and not one.withdrawn_by),
        case.timeline[0],
    )
    moments, recorded = lay_timeline(packet, whom)
    left_out = packet.numbers.left_out if packet.numbers else 0
    return PacketPaper(
        head=desk.head(as_of=packet.as_of, known_at=packet.known_at, **_of_game(packet, whom)),
        title=_TITLES[kind],
        case_id=case.case_id,
        sections=_sections(packet, protest),
        question=packet_words.question(case.reason, _whom(packet, whom), case.game or ""),
        asked=f"Asked by {whom.official(case.opened_by)},"
        f" {words.local_time(case.opened_at, desk.zone)}",
        said=said_words(opening.said, opening.is_erased),
        facts=tuple(_facts(packet, whom)),
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
        decides=ROLES[case.next_reviewer] if case.next_reviewer else "",
        signatures=_signatures(packet, whom),
        states=(),
        proof_name="",
        proof_says="",
        no_proof="",
        protest=protest,
    )


def _sections(packet: Packet, protest: ProtestShown | None) -> tuple[tuple[str, str], ...]:
    left_out = set() if protest else set(_ONLY_PROTEST)
    left_out |= set() if packet.numbers else {"numbers"}
    left_out |= set() if packet.sides else {"then-and-now", "lists"}
    return tuple(section for section in _SECTIONS if section[0] not in left_out)


def _of_game(packet: Packet, whom: Whom) -> dict[str, Any]:
    if not packet.games:
        return {}
    game, desk = packet.games[0], whom.desk
    return {
        "division": desk.divisions[game["division"]]["name"],
        "game": game["game"],
        "kickoff": words.local_time(game["kickoff_at"], desk.zone),
        "site": game["site"] or "",
        "home": desk.team_name(game["home"]),
        "visitor": desk.team_name(game["visitor"]),
        "is_off": bool(game["is_off"]),
    }


def _whom(packet: Packet, whom: Whom) -> str:
    """Whom the question is about, in its one sentence: number and team, no name."""
    case = packet.case
    team = whom.team(case.team) if case.team else ""
    if case.player is None:
        return f"who among {team}" if team and case.reason == "roster" else team
    who = f"player {case.player}" if case.number is None else f"number {case.number}"
    return f"{who} of {team}" if team else who


def _facts(packet: Packet, whom: Whom) -> list[Fact]:
    case, zone = packet.case, whom.desk.zone
    facts = [Fact(label="Where it stands", text=_stands(packet, whom), strong=True)]
    rows = {
        row.player: (row, table)
        for table in packet.compared
        for row in table.rows
        if row.is_asked and row.now
    }
    for player, (row, table) in list(rows.items())[:6]:
        facts.append(
            Fact(
                label=f"What holds for {_number(row.number)}",
                text=f"{whom.desk.names.of(player)}, {whom.team(table.team)}: {_sentence(row.now)}",
                strong=True,
            )
        )
    if case.reason in ("plays", "protest"):
        facts += [
            Fact(
                label=f"Plays of {_number(row['number'])}",
                text=f"{packet_words.plays_due(row)}.",
                strong=True,
            )
            for row in packet.exposure
            if row["player"] in rows and (row["game"], row["team"]) in packet.sides
        ]
    if case.due_at:
        due = words.local_time(case.due_at, zone)
        if case.answered_at:
            late = ", after the time to answer" if case.is_overdue else ", in time"
            answered = words.local_time(case.answered_at, zone)
            facts.append(Fact(label="To be answered by", text=f"{due}. Answered {answered}{late}."))
        else:
            over = " The time is over." if case.is_time_over else ""
            facts.append(Fact(label="To be answered by", text=f"{due}.{over}"))
    if case.protest_due_at:
        late = "It came after that." if case.is_protest_late else "It came in time."
        until = words.local_time(case.protest_due_at, zone)
        facts.append(Fact(label="Protests until", text=f"{until}. {late}"))
    return facts


def _number(number: int | None) -> str:
    return "one without a number" if number is None else f"No. {number}"


def _sentence(row: Mapping[str, Any] | None) -> str:
    text = packet_words.eligible(row)
    return f"{text[:1].lower()}{text[1:]}."


def _stands(packet: Packet, whom: Whom) -> str:
    case = packet.case
    if case.state == "withdrawn":
        return "Withdrawn: whoever asked took the question back."
    rulings = [e for e in case.timeline if e.has_authority and not e.withdrawn_by]
    if rulings:
        last = max(rulings, key=lambda entry: entry.entered_at)
        when = words.local_time(last.happened_at, whom.desk.zone)
        ruled = (
            f"Ruled: {packet_words.ruled(str(case.ruling))}, by {whom.official(last.by)}, {when}."
        )
    else:
        ruled = "Nobody who reviews it has ruled."
    if case.state == "closed":
        return f"Closed. {ruled}"
    if case.state == "ruled":
        return f"{ruled} Not closed yet."
    return f"Open, with the {ROLES[str(case.with_role)]}. {ruled}"


def _signatures(packet: Packet, whom: Whom) -> tuple[SignatureLine, ...]:
    """Room for the reviewer, and for those who are told."""
    role = packet.case.next_reviewer
    reviewer = packet_words.role_name(role) if role else "Reviewer"
    lines = [SignatureLine(side=reviewer, meaning=_DECIDES)]
    for game in packet.games[:1]:
        lines += [
            SignatureLine(side=whom.team(game[side]), meaning=_TOLD) for side in ("visitor", "home")
        ]
    if not packet.games:
        lines.append(SignatureLine(side="Who asked", meaning=_TOLD))
    return tuple(lines)
