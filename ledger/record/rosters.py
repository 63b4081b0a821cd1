"""Rosters at a moment, from the roster statements that count.

The same rule as sql/facts/roster.sql gives; here it serves to look a number up once, when a
statement is accepted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from typing import NamedTuple

from ledger.record.accepted import Order, Stated
from ledger.record.corrections import is_correction, row_of, weight_of
from ledger.record.kinds import JOINS, ROSTER

BEGINNING = ""
"""Before every fixed-width UTC text: players.csv is an add at the beginning."""


class Move(NamedTuple):
    """A roster statement: `joins` is None for a change of number alone. Sorted, moves are in the
    order in which they count.
    """

    at: str
    order: Order
    event: str
    player: str
    joins: bool | None
    number: int | None
    corrects: bool = False


class Rosters:
    """Every roster move, by team; one learned twice counts once, and a correction for its row."""

    def __init__(self) -> None:
        # A row of a load that is not appended yet has no event id.
        self._moves: dict[str, dict[tuple[str, str], Move]] = defaultdict(dict)

    def learn(self, stated: Stated, event_id: str, order: Order) -> None:
        """Keep the statement's move, if it makes one."""
        if stated.kind not in ROSTER or stated.team is None or stated.player is None:
            return
        kind, player = stated.kind, stated.player
        number = None if JOINS.get(kind) is False else stated.data.get("number")
        at, corrects = stated.at or BEGINNING, is_correction(stated)
        move = Move(at, order, event_id, player, JOINS.get(kind), number, corrects)
        held = self._moves[stated.team].get(key := (row_of(stated, event_id), player))
        if held is None or weight_of(stated, order) >= (held.corrects, held.order):
            self._moves[stated.team][key] = move

    def events(self, team: str) -> list[str]:
        """The ids of the team's moves."""
        return [event_id for event_id, _ in self._moves.get(team, {})]

    def at(self, team: str, moment: str, gone: Collection[str]) -> dict[str, int | None]:
        """Players on the team's roster at `moment` (UTC text), each with the number, or None."""
        on: dict[str, bool] = {}
        numbers: dict[str, int] = {}
        for move in sorted(self._moves.get(team, {}).values()):
            if move.at > moment or move.event in gone:
                continue
            if move.joins is not None:
                on[move.player] = move.joins
            if move.number is not None:
                numbers[move.player] = move.number
        return {player: numbers.get(player) for player, is_on in on.items() if is_on}
