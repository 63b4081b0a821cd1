"""A packet's tables: eligibility then and now, a player's history, numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from ledger.errors import count_of
from ledger.papers.sheets.packet_context import (
    ComparedLine,
    ComparedTable,
    HistoryLine,
    HistoryTable,
    LeadLine,
    NumbersRow,
    NumbersTable,
)
from ledger.papers.sheets.packet_parts import Whom
from ledger.review.packet import Packet
from ledger.review.packet_leads import Held
from ledger.review.packet_lists import Compared, ComparedRow
from ledger.review.packet_numbers import GameNumbers, Move, Numbers, Worn
from ledger.say import packets, words
from ledger.say.clock import local_date, local_day
from ledger.say.words import join

_FIRST = "When the list was first signed"
_HISTORIES = 8
"""The most players whose games are listed; what decides about the others is in the timeline."""
_COLUMNS = 4
"""Columns beside the first that stay readable."""
Step = GameNumbers | Move
Column = tuple[str, Callable[[Step], str]]
"""A heading, and the cell under it for a step."""


def lay_compared(table: Compared, whom: Whom) -> ComparedTable:
    received = [whom.eligible(row.recorded) for row in table.rows]
    is_first = received == [whom.eligible(row.then) for row in table.rows]
    extra = not is_first and received != [whom.eligible(row.now) for row in table.rows]
    signed = bool(table.signed_at)
    signed_at = whom.source.time(table.signed_at)
    recorded_at = whom.source.time(table.recorded_at)
    now = f"As of {whom.source.time(whom.packet.as_of)}" if whom.packet.as_of else "Now"
    clock = ""
    if signed and table.rows and not extra:
        clock = (
            f"By its own clock the ledger received that signature {recorded_at}. What it had"
            f" received by then gives the same as under “{_FIRST if is_first else now}”."
        )
    return ComparedTable(
        title=f"{whom.team(table.team)}, game {table.game}",
        then=f"{_FIRST}, {signed_at}" if signed else "Nobody signed",
        recorded=f"As the ledger had received it by {recorded_at}" if extra else "",
        now=now,
        lines=tuple(_compared_line(row, whom, signed) for row in table.rows),
        clock=clock,
        rest=_rest(table, signed_at) if table.others else "",
    )


def _rest(table: Compared, signed_at: str) -> str:
    """A sentence about the players not shown; `signed_at` is "" if nobody signed."""
    many = count_of(table.others, "player")
    other = "The other player" if table.others == 1 else f"The other {many}"
    whose = f"{other} of the team" if table.rows else f"All {many} of the team"
    if not signed_at:
        return f"{whose}: not shown."
    when = "" if table.rows else f", {signed_at}"
    return f"{whose}: unchanged since the list was first signed{when}."


def _compared_line(row: ComparedRow, whom: Whom, signed: bool) -> ComparedLine:
    return ComparedLine(
        player=whom.player(row.player, row.number),
        is_asked=row.is_asked,
        then=whom.eligible(row.then) if signed else "–",
        recorded=whom.eligible(row.recorded),
        now=whom.eligible(row.now),
        differs=signed and row.differs,
    )


def lay_history(packet: Packet, whom: Whom) -> tuple[tuple[HistoryTable, ...], str]:
    """Every game of each player in question, a line each; and how many players are left out."""
    tables: dict[str, list[HistoryLine]] = {}
    found = {(row["game"], row["player"]) for row in packet.case.findings}
    for one in packet.history:
        remarks = [packets.FIRST_MARK] * one.is_first_mark
        remarks += [packets.HAS_FINDING] * ((one.game, one.player) in found)
        number = [f"No. {one.number}"] if one.number is not None else []
        tables.setdefault(one.player, []).append(
            HistoryLine(
                when=", ".join([local_day(one.kickoff, whom.source.zone), one.game, *number]),
                weighed="; ".join(packets.weighed(weigh) for weigh in one.weighs),
                mark="; ".join(packets.marked(mark) for mark in one.marks),
                held=packets.GAME_OFF if one.is_off else whom.eligible(one.row),
                is_asked=one.game == packet.case.game,
                remarks=tuple(remarks),
            )
        )
    numbers = {player: _number(player, packet) for player in tables}
    by_number = sorted(tables, key=lambda one: (numbers[one] is None, numbers[one] or 0, one))
    shown = by_number[:_HISTORIES]
    left_out = len(tables) - len(shown)
    return (
        tuple(
            HistoryTable(player=whom.player(one, numbers[one]), lines=tuple(tables[one]))
            for one in shown
        ),
        f"{count_of(left_out, 'more player')}: not shown." if left_out else "",
    )


def _number(player: str, packet: Packet) -> int | None:
    """The player's number in the game in question, else the last one."""
    games = [one for one in packet.history if one.player == player and one.number is not None]
    games.sort(key=lambda one: one.game == packet.case.game)
    return games[-1].number if games else None


def lay_leads(packet: Packet, whom: Whom) -> tuple[tuple[LeadLine, ...], tuple[str, ...]]:
    """Where number, name and id lead, and what to keep in mind about it."""
    leads = packet.numbers.leads if packet.numbers else ()
    named = {lead.player for lead in leads if lead.by == "name"}

    def held(places: Sequence[Held]) -> tuple[str, ...]:
        return tuple(
            whom.player(*one)
            + ("" if one.player in packet.namesakes else packets.known_as(one.player))
            for one in places
        )

    lines = [
        LeadLine(
            looked_up=packets.looked_up(
                lead, whom.named(lead.player, lead.number), is_named=lead.player in named
            ),
            at_kickoff=held(lead.at_kickoff),
            entered=held(lead.entered),
            now=held(lead.now),
        )
        for lead in leads
    ]
    notes = [packets.ENTERED_BY_NAME] * any(map(packets.is_entered_by_name, packet.asked))
    notes += [packets.SAME_NAME] * bool(packet.namesakes)
    return tuple(lines), tuple(notes)


def lay_numbers(numbers: Numbers, whom: Whom) -> tuple[NumbersTable, ...]:
    """Each player's numbers, then each number's players, four columns a table."""
    players: list[Column] = [
        (whom.player(player, None), partial(_number_in, player, whom)) for player in numbers.players
    ]
    worn: list[Column] = [
        (f"No. {number}", partial(_player_of, number, whom)) for number in numbers.numbers
    ]
    tables = [
        _table(caption, columns[start : start + _COLUMNS], numbers.steps, whom)
        for caption, columns in (
            ("Which number each player had", players),
            ("Who had each number", worn),
        )
        for start in range(0, len(columns), _COLUMNS)
    ]
    return tuple(table for table in tables if table.rows)


def _table(
    caption: str, columns: Sequence[Column], steps: Sequence[Step], whom: Whom
) -> NumbersTable:
    rows = [
        NumbersRow(
            when=_step(step, whom),
            cells=tuple(cell(step) for _, cell in columns),
            is_move=isinstance(step, Move),
            is_asked=isinstance(step, GameNumbers) and step.game == whom.packet.case.game,
        )
        for step in steps
    ]
    return NumbersTable(
        caption=caption,
        columns=tuple(heading for heading, _ in columns),
        rows=tuple(row for row in rows if any(row.cells)),
    )


def _step(step: Step, whom: Whom) -> str:
    day = local_date(step.at, whom.source.zone).partition(", ")[2]
    return f"{day}, {step.game if isinstance(step, GameNumbers) else 'roster'}"


def _number_in(player: str, whom: Whom, step: Step) -> str:
    if isinstance(step, Move):
        return _moved(step, whom) if step.player == player else ""
    return "; ".join(_worn(one) for one in step.worn if one.player == player) or "–"


def _player_of(number: int, whom: Whom, step: Step) -> str:
    if isinstance(step, Move):
        moved = _moved(step, whom).removesuffix(f" as {number}")
        line = f"{whom.player(step.player, None)}: {words.lower_first(moved)}"
        return line if step.number == number else ""
    found = []
    for one in step.worn:
        called = whom.player(one.player, None)
        if one.on_roster == number:
            found.append(called)
        elif number in one.stated:
            found.append(f"{called} (as entered{'' if one.is_on else '; on no roster'})")
    return "; ".join(found) or "–"


def _worn(one: Worn) -> str:
    stated = join([str(number) for number in one.stated])
    if not one.is_on:
        return f"Not on the roster; entered as {stated}" if stated else "Not on the roster"
    held = "no number" if one.on_roster is None else str(one.on_roster)
    if one.stated and one.stated != (one.on_roster,):
        return f"{held}; entered as {stated}"
    return held if one.stated else f"{held}, in no entry of the game"


def _moved(step: Move, whom: Whom) -> str:
    number = "" if step.number is None else f" as {step.number}"
    return {
        "number_change": f"Becomes {step.number}",
        "roster_drop": f"Off the roster of {whom.team(step.team)}",
    }.get(step.kind, f"On the roster of {whom.team(step.team)}{number}")
