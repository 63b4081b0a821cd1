"""A packet's timeline and findings."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from ledger.derive.rule_header import rule_header
from ledger.papers.sheets.packet_context import FindingShown, Moment
from ledger.papers.sheets.packet_parts import Whom, said_words, struck_words
from ledger.record.authority import role_name
from ledger.review.packet import Packet
from ledger.say import packets, words
from ledger.say.clock import local_clock, local_date
from ledger.say.words import join

MOST_EVENTS = 6


def lay_timeline(packet: Packet, whom: Whom) -> tuple[tuple[Moment, ...], str]:
    """The timeline, and when all of it was recorded, if that was within one minute.

    Else a day whose entries were recorded later and together says so once.
    """
    zone, source = whom.source.zone, whom.source
    asked_about = {None, *(game["game"] for game in packet.games)}
    recorded: dict[str, set[str]] = {}
    for shown in packet.timeline:
        day = local_date(shown.statement.happened, zone)
        recorded.setdefault(day, set()).add(source.time(shown.statement.recorded))
    every = set().union(*recorded.values())
    moments, day, before = [], "", ""
    for shown in packet.timeline:
        statement = shown.statement
        today = local_date(statement.happened, zone)
        together = _recorded_together(recorded[today], today) if len(every) > 1 else ""
        is_told = statement.game in asked_about or statement.kind == "initial"
        where = "" if is_told else f"game {statement.game}"
        subject = ", ".join(filter(None, [whom.subject(shown), where]))
        what = whom.what(shown)
        moments.append(
            Moment(
                day=today if today != day else "",
                recorded=together if today != day else "",
                later=packets.later(before, statement.happened) if before else "",
                when=local_clock(statement.happened, zone),
                times=packets.times(shown, zone, recorded_too=len(every) > 1 and not together),
                what=f"{words.upper_first(subject)}: {words.lower_first(what)}"
                if subject
                else what,
                who=whom.official(statement.by),
                id=statement.event,
                said=said_words(shown.said, shown.is_erased),
                struck=struck_words(statement),
                is_own=shown.is_own,
            )
        )
        day, before = today, statement.happened
    return tuple(moments), every.pop() if len(every) == 1 else ""


def _recorded_together(moments: Collection[str], day: str) -> str:
    """The one moment when a day's entries were recorded; "" for several, or one on that day."""
    (first, *more) = moments
    return "" if more or first.startswith(day) else first


def lay_findings(packet: Packet, whom: Whom) -> tuple[FindingShown, ...]:
    """The findings; those of one rule about the same thing stand in one line."""
    alike: dict[tuple[Any, ...], list[Mapping[str, Any]]] = {}
    for row in packet.case.findings:
        about = ("rule", "game", "team", "player", "official", "side", "case")
        alike.setdefault(tuple(row[key] for key in about), []).append(row)
    return tuple(_finding(rows, whom) for rows in alike.values())


def _finding(rows: Sequence[Mapping[str, Any]], whom: Whom) -> FindingShown:
    row = rows[0]
    header = rule_header(row["rule"])
    number = whom.packet.numbers_of.get((row["game"], row["team"], row["player"]))
    parts = [
        row["game"] or "",
        whom.team(row["team"]) if row["team"] else "",
        whom.player(row["player"], number) if row["player"] else "",
        whom.source.names.of(row["official"]) if row["official"] else "",
        f"for {whom.team(row['side'])}" if row["side"] else "",
    ]
    look = [role_name(role) for role in header.look]
    events = list(dict.fromkeys(event for one in rows for event in one["events"]))
    details = list(dict.fromkeys(one["detail"] for one in rows))
    return FindingShown(
        whom=", ".join(part for part in parts if part),
        purpose=words.upper_first(header.what) + ".",
        detail=details[0] if len(details) == 1 else f"{details[0]} {len(rows)} entries are alike.",
        look=f"For the {join(look, 'or the')}",
        events=tuple(events[:MOST_EVENTS]),
        more=f"and {len(events) - MOST_EVENTS} more" if len(events) > MOST_EVENTS else "",
    )
