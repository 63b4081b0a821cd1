"""Other cases in a packet: what they share with this one, their question, their rulings."""

from __future__ import annotations

from ledger.papers.sheets.packet_context import OtherCaseShown
from ledger.papers.sheets.packet_parts import Whom, said_briefly
from ledger.record.authority import role_name
from ledger.review.cases import Case, Entry
from ledger.review.packet import Packet
from ledger.review.packet_cases import OtherCase
from ledger.say import cases, codes, packets, words


def lay_others(packet: Packet, whom: Whom) -> tuple[OtherCaseShown, ...]:
    return tuple(
        OtherCaseShown(
            case_id=one.case.case_id,
            shares=packets.shares(one.shares, is_earlier=one.is_earlier),
            question=_question(one.case, whom),
            stands=_stands(one.case),
            rulings=tuple(_ruling(ruling, one, whom) for ruling in one.rulings),
        )
        for one in packet.others
    )


def _question(case: Case, whom: Whom) -> str:
    """ "About the weigh-in: No. 21 of Team, game g1. Asked by … ." """
    player = ""
    if case.player:
        player = case.player if case.number is None else f"No. {case.number}"
    about = ", ".join(filter(None, [player, whom.team(case.team) if case.team else "", case.game]))
    what = words.upper_first(f"about {codes.CASES[case.reason]}")
    asked = f"{whom.official(case.opened_by)}, {whom.source.time(case.opened_at)}"
    return f"{what}{f': {about}' if about else ''}. Asked by {asked}."


def _stands(case: Case) -> str:
    if case.state == "open":
        return f"Open, with the {role_name(str(case.with_role))}"
    ruled = f", {codes.RULINGS[case.ruling]}" if case.ruling else ", no ruling"
    return words.upper_first(case.state + ruled)


def _ruling(ruling: Entry, other: OtherCase, whom: Whom) -> str:
    """What was ruled; the words beside it only where they are about a player in question."""
    ours = ruling.event_id in other.ours
    said = said_briefly(ruling.said, ruling.is_erased) if ours else ""
    when = whom.source.time(ruling.happened_at)
    outside = "" if ruling.has_authority else f" {packets.FROM_OUTSIDE}"
    what = f"{whom.official(ruling.by)}: {cases.ruled(ruling)}."
    return f"{when}, {what} {said}{outside} [{ruling.event_id}]".replace("  ", " ")
