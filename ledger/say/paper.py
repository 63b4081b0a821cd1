"""What a filled-in sheet will record, in a line for each player or label."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import groupby

from ledger.chain.event import Event
from ledger.errors import count_of
from ledger.record.accepted import Accepted
from ledger.record.paper_sheet import SheetLine
from ledger.say.clock import local_clock, local_time
from ledger.say.lines import short_id
from ledger.say.words import join, pounds

HEADINGS = ("No.", "Player", "To record", "Time", "By")
_WIDTH = 34
"""Of what is recorded of one player: more than one thing may take several lines."""
_LISTED = {"equipment": "gear missing"}


def rows(
    accepted: Sequence[Accepted], lines: Sequence[SheetLine], zone: str
) -> list[tuple[str, ...]]:
    """A row for each line of the sheet, in its order, under `HEADINGS`."""
    both = sorted(zip(lines, accepted, strict=True), key=lambda pair: pair[0].place)
    is_both = len({line["team"] for line in lines if not line.label}) > 1
    found: list[tuple[str, ...]] = []
    for line, pairs in groupby(both, key=lambda pair: pair[0]):
        entries = [entry for _, entry in pairs]
        last = entries[-1]
        time = local_clock(str(last.at), zone)
        said = "; ".join(
            _said(one) + (f" at {local_clock(str(one.at), zone)}" if one.at != last.at else "")
            for one in entries
        )
        player = short_id(last.player) or "–"
        said = textwrap.fill(said, _WIDTH, break_on_hyphens=False)
        number = line["number"] or "–"
        row = (f"{last.team} {number}" if is_both else number, player, said, time, str(last.by))
        found.append(row)
    return found


def about(lines: Sequence[SheetLine]) -> str:
    """The teams and games of the sheet's players: "newts in acorn-1a:"."""
    of = dict.fromkeys((line["team"], line["game"]) for line in lines if not line.label)
    return f"{join([f'{team} in {game}' for team, game in of])}:" if of else ""


def days(accepted: Sequence[Accepted], zone: str) -> str:
    """The first and the last time in full, for clocks that were typed without a day."""
    times = sorted(str(one.at) for one in accepted)
    return f"From {local_time(times[0], zone)}, to {local_time(times[-1], zone)}."


def to_come(later: Sequence[str], now: str, zone: str) -> tuple[str, str]:
    """What is said of these times later than now, in their order: a heading, and what is right."""
    first, last = (local_time(at, zone) for at in (later[0], later[-1]))
    times = first if first == last else f"{first} to {last}"
    right = f"A weigh-in on paper is over: its times are before now, {local_time(now, zone)}."
    check = "Check the game, the times, and this device's clock."
    return f"Still to come: {times}.", f"{right} {check}"


def unmarked(lines: Sequence[SheetLine]) -> str:
    """The players without a mark; "" if there are none."""
    if not lines:
        return ""
    who = join([f"{line['team']} {line['number'] or line['line']}" for line in lines])
    stay = "This player stays" if len(lines) == 1 else "These players stay"
    return f"No mark for {who}. {stay} neither weighed nor listed."


def after_close(accepted: Sequence[Accepted], lines: Sequence[SheetLine]) -> str:
    """The players weighed after the sheet's close and not marked late; "" if there are none."""
    closed = {(one.game, one.team): str(one.at) for one in accepted if one.kind == "close"}
    found = [
        f"{one.team} {line['number'] or one.player}"
        for one, line in zip(accepted, lines, strict=True)
        if one.kind == "weigh" and str(one.at) > closed.get((one.game, one.team), str(one.at))
    ]
    if not found:
        return ""
    return f"Weighed after the close, and not marked late: {join(found)}. Is the time right?"


def not_other_side(officials: Sequence[str]) -> str:
    """Who weighed without being a weighmaster of the other team; "" if there is nobody."""
    if not officials:
        return ""
    are = "is not a weighmaster" if len(officials) == 1 else "are not weighmasters"
    right = "--by and the By column name who weighed, not who types. Is it right?"
    return f"{join(officials)} {are} of the other team. {right}"


def held(count: int) -> str:
    """How many entries are in the ledger already; "" for none."""
    if not count:
        return ""
    is_ = "is" if count == 1 else "are"
    said = f"{count_of(count, 'entry', 'entries')} of this sheet {is_} already in the ledger"
    return f"{said}, and not recorded again."


def otherwise(events: Sequence[Event], zone: str) -> str:
    """What the ledger has otherwise, and how to take it back; "" if there is nothing."""
    if not events:
        return ""
    found = join([_held_as(one, zone) for one in events])
    undo = "weighbook record withdraw --target ID --by WHO --reason TEXT"
    return f"The ledger has, and this sheet has not: {found}. To take back a mistake: {undo}"


def _held_as(event: Event, zone: str) -> str:
    number = event.data.get("number")
    who = f"{event.team} {event.player if number is None else number}"
    return f"{who} {_said(event)} at {local_clock(str(event.at), zone)} ({event.id})"


def _said(entry: Accepted | Event) -> str:
    data = entry.data
    match entry.kind:
        case "weigh" | "late_weigh":
            late = ", weighed late" if entry.kind == "late_weigh" else ""
            return f"{str(data['value']).replace('_', ' ')}{late}"
        case "list":
            return f"listed ({_LISTED.get(data['reason'], data['reason'])})"
        case "strike_off":
            return f"struck off ({_LISTED.get(data['reason'], data['reason'])})"
        case "initial":
            return f"book: {data['value']} {data['initials']}"
        case "station":
            reads, limit = pounds(data["reading_clb"]), pounds(data["limit_clb"])
            return f"check weight reads {reads}, set to {limit}"
        case "half":
            return f"half {data['half']} ended"
        case "at_scale":
            return f"at the scale for {entry.team}"
        case _:
            return _PLAIN[entry.kind]


_PLAIN = {
    "stripe": "striped",
    "scale_out": "scale out of use",
    "close": "weigh-in closed",
}
