"""Rosters at a moment, from the roster statements that count.

The same rule as sql/facts/roster.sql gives; here it serves to look a number up once, when a
statement is accepted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from ledger.record.accepted import Stated

BEGINNING = ""
"""Before every fixed-width UTC text: players.csv is an add at the beginning."""


def withdrawn(withdrawals: Iterable[tuple[int, int]]) -> set[int]:
    """Positions that no longer count, of (position of a withdrawal, position of its target).

    Walked backwards: a withdrawal that is itself withdrawn restores its target, and a target
    is always earlier than its withdrawal.
    """
    gone: set[int] = set()
    for position, target in sorted(withdrawals, reverse=True):
        if position not in gone:
            gone.add(target)
    return gone


@dataclass(frozen=True, order=True)
class Move:
    """A roster statement: `joins` is None for a change of number alone."""

    at: str
    position: int
    player: str = field(compare=False)
    joins: bool | None = field(compare=False)
    number: int | None = field(compare=False)


@dataclass
class Rosters:
    """Every roster move by team, in ledger order."""

    moves: dict[str, list[Move]] = field(default_factory=lambda: defaultdict(list))

    def learn(self, stated: Stated, position: int) -> None:
        """Keep the statement's move, if it makes one."""
        if stated.team is None or stated.player is None:
            return
        joins = {"player": True, "roster_add": True, "enter_player": True, "roster_drop": False}
        if stated.kind not in joins and stated.kind != "number_change":
            return
        number = None if stated.kind == "roster_drop" else stated.data.get("number")
        move = Move(stated.at or BEGINNING, position, stated.player, joins.get(stated.kind), number)
        self.moves[stated.team].append(move)

    def at(self, team: str, moment: str, gone: Collection[int]) -> dict[str, int | None]:
        """Players on the team's roster at `moment` (UTC text), each with the number, or None."""
        on: dict[str, bool] = {}
        numbers: dict[str, int] = {}
        for move in sorted(self.moves.get(team, ())):
            if move.at > moment or move.position in gone:
                continue
            if move.joins is not None:
                on[move.player] = move.joins
            if move.number is not None:
                numbers[move.player] = move.number
        return {player: numbers.get(player) for player, is_on in on.items() if is_on}
