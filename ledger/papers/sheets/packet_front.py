"""A packet's first page and its last: the question and its answers; who decides and signs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.papers.sheets.context import SignatureLine
from ledger.papers.sheets.packet_context import Fact
from ledger.papers.sheets.packet_parts import Whom, said_briefly, shown_of
from ledger.record.authority import role_name
from ledger.review.cases import Case, Entry
from ledger.review.packet import Packet
from ledger.say import packets, words

MOST_RULINGS, MOST_PLAYERS = 3, 6
"""What fits on the first page; the sections have the rest."""
_DECIDES = "I decide this question as written here."
_TOLD = "I was told this decision."
_ENTERED = "Enter the decision in the ledger afterwards, with its time."


def who_in_question(packet: Packet, whom: Whom) -> str:
    """Who the question is about, for its one sentence: number and team, no name."""
    case = packet.case
    team = whom.team(case.team) if case.team else ""
    if case.player is None:
        return f"who among {team}" if team and case.reason == "roster" else team
    who = f"player {case.player}" if case.number is None else f"number {case.number}"
    return f"{who} of {team}" if team else who


def lay_facts(packet: Packet, whom: Whom) -> tuple[Fact, ...]:
    """The first page's answers, the most important first."""
    rulings = _rulings(packet.case)
    return (
        Fact(label="Where it stands", text=_stands(packet.case, rulings, whom), strong=True),
        *(
            Fact(label="Ruling", text=_ruled(ruling, packet, whom))
            for ruling in rulings[-MOST_RULINGS:]
        ),
        *_closing(packet.case, rulings, whom),
        *_holding(packet, whom),
        *_due(packet.case, whom),
    )


def _rulings(case: Case) -> list[Entry]:
    """The rulings that count, in the order they were entered."""
    counting = [one for one in case.timeline if one.has_authority and not one.withdrawn_by]
    return sorted(counting, key=lambda entry: entry.entered_at)


def _stands(case: Case, rulings: Sequence[Entry], whom: Whom) -> str:
    if case.state == "withdrawn":
        return "Withdrawn by the person who asked."
    ruled = "No reviewer has ruled."
    if rulings:
        when = whom.source.time(rulings[-1].happened_at)
        ruled = f"Ruled: {case.ruling}, by {whom.official(rulings[-1].by)}, {when}."
    if case.state == "closed":
        return f"Closed. {ruled}"
    if case.state == "ruled":
        return f"{ruled} Not closed yet."
    return f"Open, with the {role_name(str(case.with_role))}. {ruled}"


def _ruled(ruling: Entry, packet: Packet, whom: Whom) -> str:
    """ "No. 8 Name: decided; the player does not carry the ball. “Because.”" """
    shown = shown_of(packet, ruling)
    what = packets.what(shown, whom.source.zone).removeprefix("Ruling: ")
    if shown.statement.player:
        what = f"{whom.subject(shown)}: {what}"
    said = said_briefly(ruling.said, ruling.is_erased)
    return f"{words.upper_first(what)}. {said}".rstrip()


def _closing(case: Case, rulings: Sequence[Entry], whom: Whom) -> Iterator[Fact]:
    """Why a question without a ruling was closed."""
    closes = [one for one in case.timeline if one.kind == "case_close" and not one.withdrawn_by]
    if case.state == "closed" and not rulings:
        last = closes[-1]
        when = whom.source.time(last.happened_at)
        said = said_briefly(last.said, last.is_erased)
        yield Fact(label="Closed by", text=f"{whom.official(last.by)}, {when}. {said}".rstrip())


def _holding(packet: Packet, whom: Whom) -> Iterator[Fact]:
    """What holds now for the players in question; their plays if the question is about plays."""
    plays = {(row["game"], row["team"], row["player"]): row for row in packet.exposure}
    asked = [
        (table, row) for table in packet.compared for row in table.rows if row.is_asked and row.now
    ]
    for table, row in asked[:MOST_PLAYERS]:
        number = "one without a number" if row.number is None else f"No. {row.number}"
        where = f" in game {table.game}" if len(packet.games) > 1 else ""
        name = whom.named(row.player, row.number)
        holds = f"{words.lower_first(whom.eligible(row.now))}."
        yield Fact(
            label=f"What holds for {number}{where}",
            text=f"{name}, {whom.team(table.team)}: {holds}",
            strong=True,
        )
        due = plays.get((table.game, table.team, row.player))
        if due and packet.case.reason in ("plays", "protest"):
            text = f"{packets.plays_due(due)}."
            yield Fact(label=f"Plays of {number}{where}", text=text, strong=True)
    if len(asked) > MOST_PLAYERS:
        more = f"{len(asked) - MOST_PLAYERS} more: see eligibility then and now."
        yield Fact(label="What holds for others", text=more)


def _due(case: Case, whom: Whom) -> Iterator[Fact]:
    if case.due_at:
        done = " The time is over." if case.is_time_over else ""
        when = whom.source.time(case.answered_at)
        if when and case.state == "open":
            done = f" A ruling came {when}, but not from a reviewer.{done}"
        elif when:
            late = "after the time to answer" if case.is_overdue else "in time"
            done = f" Answered {when}, {late}."
        yield Fact(label="To be answered by", text=f"{whom.source.time(case.due_at)}.{done}")
    if case.protest_due_at:
        late = "It came later." if case.is_protest_late else "It came in time."
        until = whom.source.time(case.protest_due_at)
        yield Fact(label="Protests until", text=f"{until}. {late}")


def decides(case: Case) -> str:
    """Who fills in the determination, and what happens to it."""
    role = _next(case)
    if case.state == "open":
        if role is None:
            who = "the next reviewer; everyone in the league’s order has had it"
        elif role == case.with_role:
            who = f"the {role_name(role)}, who has the question now"
        else:
            who = f"the {role_name(role)}, who is next in the league’s order"
        return f"To be filled in by {who}. {_ENTERED}"
    if case.state == "ruled":
        done = "was ruled on"
    else:
        done = "is ruled on and closed" if case.ruling else "is closed without a ruling"
    again = "To be filled in only if a reviewer takes it up again."
    return f"The question {done}, as the first page says. {again} {_ENTERED}"


def _next(case: Case) -> str | None:
    """The role that decides: the reviewer who has the question, else the next in order."""
    if case.with_role in [one.role for one in case.reviewers]:
        return case.with_role
    return case.next_reviewer


def lay_signatures(packet: Packet, whom: Whom) -> tuple[SignatureLine, ...]:
    """Room for the reviewer, and for those who hear the decision."""
    role = _next(packet.case)
    reviewer = words.upper_first(role_name(role)) if role else "Reviewer"
    lines = [SignatureLine(side=reviewer, meaning=_DECIDES)]
    for game in packet.games[:1]:
        lines += [
            SignatureLine(side=whom.team(game[side]), meaning=_TOLD) for side in ("visitor", "home")
        ]
    if not packet.games:
        lines.append(SignatureLine(side="Who asked", meaning=_TOLD))
    return tuple(lines)
