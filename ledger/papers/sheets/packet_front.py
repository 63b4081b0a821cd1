"""A packet's first page: the question, its limits, its story, and what each answer would change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ledger.errors import count_of
from ledger.papers.sheets.packet_answers import lay_answers
from ledger.papers.sheets.packet_front_context import (
    Fact,
    FrontShown,
    StoryLine,
)
from ledger.papers.sheets.packet_parts import Whom, said_briefly, said_words, shown_of
from ledger.record.authority import role_name
from ledger.review.cases import Case, Entry
from ledger.review.packet import Packet
from ledger.review.packet_cases import OtherCase
from ledger.review.packet_protest import Protest
from ledger.review.packet_story import Told, choose_story
from ledger.review.rulings import decision_of, ruling_of, rulings_of
from ledger.review.timeline import TimelineEntry
from ledger.say import codes, packet_story, packets, words
from ledger.say import packet_front as say

MOST_RULINGS, MOST_OTHERS = 3, 3
"""What fits on the page; the sections have the rest."""
_MOST_SAID = 160
"""Letters of a remark in the story."""


def lay_front(packet: Packet, tried: Protest, whom: Whom) -> FrontShown:
    case = packet.case
    plain = say.plain_note(case.opening.said)
    return FrontShown(
        is_answered=bool(rulings_of(case)),
        question=packets.question(
            case.reason,
            who_in_question(packet, whom),
            case.game or "",
            asks_to_carry=say.asks_to_carry(case.opening.said),
        ),
        asked=f"Asked by {whom.official(case.opened_by)}, {whom.source.time(case.opened_at)}",
        said=f"{say.FROM_FINDING}{plain}"
        if plain
        else said_briefly(case.opening.said, case.opening.is_erased),
        facts=tuple(_facts(packet, tried, whom)),
        story=tuple(_told(one, whom) for one in choose_story(packet)),
        answers=lay_answers(packet, tried, whom),
        meanings=() if case.state == "withdrawn" else say.meanings(case),
    )


def who_in_question(packet: Packet, whom: Whom) -> str:
    """Who the question is about, for its one sentence: number and team, no name."""
    case = packet.case
    team = whom.team(case.team) if case.team else ""
    if case.player is None:
        return f"who among {team}" if team and case.reason == "roster" else team
    who = f"player {case.player}" if case.number is None else f"number {case.number}"
    return f"{who} of {team}" if team else who


def _facts(packet: Packet, tried: Protest, whom: Whom) -> Iterator[Fact]:
    case, zone = packet.case, whom.source.zone
    rulings = rulings_of(case)
    yield Fact(label="Where it stands", text=_stands(case, rulings, whom), strong=True)
    before = _before_rulings(packet, tried)
    for ruling in rulings[-MOST_RULINGS:]:
        event = packet.events[ruling.event_id]
        text = ruled(ruling, packet, whom)
        if row := before.pop((event.game, event.team, event.player), None):
            cases = words.join(list(packet.rulings_of(row)))
            text += f" {say.before(row, cases, brief=len(tried.unruled) > 1)}"
        yield Fact(label="What was ruled", text=text)
    yield from _closing(case, rulings, whom)
    yield from _outside(case, packet, whom)
    if case.reason == "protest":
        text, strong = say.in_time(case, zone)
        is_to_hear = case.is_protest_late and case.state == "open"
        text += f" {say.HEAR_LATE}" if is_to_hear else ""
        yield Fact(label="Asked in time?", text=text, strong=strong)
    else:
        yield Fact(label="Asked in time?", text=say.NO_LIMIT)
    yield _before(packet, whom)
    if case.due_at:
        text, strong = say.to_decide(case, zone)
        yield Fact(label="To be decided by", text=text, strong=strong)


def _before_rulings(
    packet: Packet, tried: Protest
) -> dict[tuple[str | None, ...], Mapping[str, Any]]:
    """What held without the rulings of this case for the players to whom they made a difference."""
    now = {
        (table.game, table.team, row.player): row.now
        for table in packet.compared
        for row in table.rows
        if row.now
    }
    rights = ("may_play", "may_carry")
    return {
        about: row
        for about, row in tried.unruled.items()
        if any(row[key] != now[about][key] for key in rights)
    }


def _before(packet: Packet, whom: Whom) -> Fact:
    """Whether the same question was ruled on before; the closest other cases."""
    same = [one for one in packet.others if _is_same(one, packet)]
    part = [one for one in packet.others if one.shares == "roster"]
    close = [*same, *part]
    others = [*close, *(one for one in packet.others if one not in close)]
    told = [_other(one, packet, whom) for one in others[:MOST_OTHERS]]
    if len(others) > MOST_OTHERS:
        told.append(f"{count_of(len(others) - MOST_OTHERS, 'more case')}: see the full record.")
    opened = packet.case.opening.entered_at
    ruled = [ruling for one in same if (ruling := ruling_of(one.case))]
    return Fact(
        label="Answered before?",
        text=say.answered_before(
            packet.case,
            told,
            is_same=bool(same),
            is_before=any(one.entered_at < opened for one in ruled),
            is_part=any(one.is_earlier for one in part),
        ),
        strong=bool(close),
    )


def _is_same(other: OtherCase, packet: Packet) -> bool:
    return other.shares == "player" and other.case.game == packet.case.game


def _other(other: OtherCase, packet: Packet, whom: Whom) -> str:
    ruling = ruling_of(other.case)
    shares = "player_here" if _is_same(other, packet) else other.shares
    if ruling is None:
        return say.other_case(other.case, shares, None, whom.source.zone, "", "")
    # A remark may be about a child of the other question.
    is_ours = other.shares == "player" and other.case.player in packet.asked
    said = said_briefly(ruling.said, ruling.is_erased) if is_ours else ""
    said = say.NOT_NAMED if shares == "roster" else said
    by = whom.official(ruling.by)
    return say.other_case(other.case, shares, ruling, whom.source.zone, by, said)


def _stands(case: Case, rulings: list[Entry], whom: Whom) -> str:
    if case.state == "withdrawn":
        return "Withdrawn by the person who asked."
    decided = "No reviewer has ruled."
    if rulings:
        first = decision_of(case, whom.packet.events)[0]
        when = whom.source.time(first.happened_at)
        decided = f"Ruled: {codes.RULINGS[case.ruling]}, by {whom.official(first.by)}, {when}."
    if case.state == "closed":
        return f"Closed. {decided}"
    if case.state == "ruled":
        return f"{decided} Not closed yet."
    return f"Open, with the {role_name(str(case.with_role))}. {decided}"


def ruled(ruling: Entry, packet: Packet, whom: Whom) -> str:
    """ "No. 8 Name: decided; the player does not carry the ball. “Because.”" """
    shown = shown_of(packet, ruling)
    what = packets.what(shown, whom.source.zone).removeprefix("Ruling: ")
    if shown.statement.player:
        what = f"{whom.subject(shown)}: {what}"
    said = said_briefly(ruling.said, ruling.is_erased)
    return f"{words.upper_first(what)}. {said}".rstrip()


def _outside(case: Case, packet: Packet, whom: Whom) -> Iterator[Fact]:
    """Rulings that no reviewer of such a question gave."""
    found = [one for one in case.timeline if one.has_authority is False]
    for entry in found[-MOST_RULINGS:]:
        what = packets.what(shown_of(packet, entry), whom.source.zone).removeprefix("Ruling: ")
        text = say.no_authority(whom.official(entry.by), what)
        yield Fact(label="Does not count", text=text)


def _closing(case: Case, rulings: list[Entry], whom: Whom) -> Iterator[Fact]:
    """Why a question without a ruling was closed."""
    closes = [one for one in case.timeline if one.kind == "case_close" and not one.withdrawn_by]
    if case.state == "closed" and not rulings:
        last = closes[-1]
        when = whom.source.time(last.happened_at)
        said = said_briefly(last.said, last.is_erased)
        yield Fact(label="Closed by", text=f"{whom.official(last.by)}, {when}. {said}".rstrip())


def _told(told: Told, whom: Whom) -> StoryLine:
    zone, first = whom.source.zone, told.entries[0]
    parts, before = [], ""
    for one in told.entries:
        subject = _subject(one, whom)
        where = _elsewhere(one, whom.packet)
        parts.append(packet_story.moment(one, subject if subject != before else "", zone) + where)
        before = subject
    by = {one.statement.by for one in told.entries} - {first.statement.by}
    who = whom.source.names.of(first.statement.by) + (f" and {len(by)} more" if by else "")
    what = packet_story.moments(parts, told.more)
    due = whom.packet.limits.get(str(first.statement.game))
    if due is not None and any(one.data.get("limit_clb", due) != due for one in told.entries):
        what += packet_story.limit(due)
    is_short = not first.said or len(first.said) <= _MOST_SAID
    is_above = first.statement.kind in ("case_open", "case_close", "ruling")
    is_told = len(told.entries) == 1 and is_short and not is_above
    return StoryLine(
        when=packet_story.day_and_clock(
            first.statement.happened, told.entries[-1].statement.happened, zone
        ),
        what=what,
        who=who,
        said=said_words(first.said, is_erased=False) if is_told else "",
    )


def _elsewhere(shown: TimelineEntry, packet: Packet) -> str:
    """The game of a statement about another one; a mark says it itself."""
    game = shown.statement.game
    is_here = game in (None, packet.case.game) or shown.statement.kind == "initial"
    return "" if is_here else f", in game {game}"


def _subject(shown: TimelineEntry, whom: Whom) -> str:
    """A player by number; the answers below have the name."""
    is_numbered = shown.statement.player and shown.number is not None
    return f"No. {shown.number}" if is_numbered else whom.subject(shown)
