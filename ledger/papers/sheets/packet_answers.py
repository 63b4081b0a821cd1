"""A packet's first page: what each answer would change for the players in question."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ledger.errors import count_of
from ledger.papers.sheets.packet_front_context import AnswerRow, AnswersShown
from ledger.papers.sheets.packet_parts import Whom
from ledger.review.packet import Packet
from ledger.review.packet_protest import Protest, Tried
from ledger.say import packet_front as say
from ledger.say import packets, words


def lay_answers(packet: Packet, protest: Protest, whom: Whom) -> AnswersShown:
    """Each answer for one player; for several, what holds now."""
    tried: dict[tuple[str, str, str], list[Tried]] = {}
    for one in sorted(protest.tried, key=_by_number):
        tried.setdefault((one.game, one.team, one.player), []).append(one)
    rows = {
        (table.game, table.team, row.player): row.now
        for table in packet.compared
        for row in table.rows
    }
    is_one = len(tried) == 1
    now = tuple(_now(rows[about], packet, brief=not is_one) for about in tried)
    shown = [AnswerRow(answer="As it is now", cells=now)]
    answers = [(packets.ruling(one.key, one.value), one) for one in protest.tried if is_one]
    shown += [
        AnswerRow(answer=answer, cells=(_after(one),)) for answer, one in answers if one.changed
    ]
    idle = [answer for answer, one in answers if not one.changed]
    of_game = packet.case.game is not None and packet.case.state != "withdrawn"
    return AnswersShown(
        players=tuple(_heading(one[0], packet, whom) for one in tried.values()),
        rows=tuple(shown) if tried else (),
        notes=(*_notes(packet, protest, idle, is_one=is_one), *[say.RESULT] * of_game),
    )


def _now(row: Mapping[str, Any] | None, packet: Packet, *, brief: bool) -> str:
    cases = packet.rulings_of(row) if row else ()
    return say.as_now(row, words.join(list(cases)), brief=brief)


def _heading(one: Tried, packet: Packet, whom: Whom) -> str:
    where = f", game {one.game}" if len(packet.games) > 1 else ""
    return whom.player(one.player, one.number) + where


def _by_number(one: Tried) -> tuple[str, str, int]:
    return one.game, one.team, 100 if one.number is None else one.number


def _after(one: Tried) -> str:
    own = [row for row in one.changed if (row.team, row.player) == (one.team, one.player)]
    said = say.rights(own[0].after) if own else "As now"
    others = len(one.changed) - len(own)
    return f"{said}; changes {count_of(others, 'more player')}" if others else said


def _notes(packet: Packet, protest: Protest, idle: list[str], *, is_one: bool) -> Iterator[str]:
    if packet.case.state == "withdrawn":
        yield "The question was withdrawn, so nobody rules on it."
        return
    if not protest.tried:
        yield say.NAME_ONE if packet.sides and not packet.asked else say.NO_PLAYER
        return
    if idle:
        yield say.idle(idle)
    if not is_one:
        yield say.EACH
    yield say.TICK
    if packet.case.reason in ("plays", "protest"):
        plays = {(one.game, one.team, one.player): one for one in protest.tried}.values()
        for one in plays:
            number = "without a number" if one.number is None else f"No. {one.number}"
            yield f"Plays of {number}: {words.lower_first(packets.plays_due(one.before))}."
    if not any(row.before["required"] != row.after["required"] for row in _all_changed(protest)):
        yield "No answer changes how many plays were due."
    if protest.left_out:
        yield f"{count_of(protest.left_out, 'more player')} in question: see the full record."


def _all_changed(protest: Protest) -> Iterator[Any]:
    for one in protest.tried:
        yield from one.changed
