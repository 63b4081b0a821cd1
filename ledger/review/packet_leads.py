"""Where the number, the name and the id of a player in question lead, in one game and now.

A number may have gone to another child, a name may be on record under two ids, and an id that was
made for a name on no roster leads to no roster. The three side by side show which it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

Key = tuple[str, str, str]
"""Game, team and player."""


class Held(NamedTuple):
    """A player, and the number that this player has there."""

    player: str
    number: int | None


@dataclass(frozen=True)
class Lead:
    """The players that a number, a name or an id of a team leads to.

    `player` is asked about. `number` is set for a number. `at_kickoff` is by the roster at the
    game's kickoff, `entered` by what people entered in the game, `now` by the roster after all
    statements.
    """

    by: Literal["number", "name", "id"]
    team: str
    player: str
    number: int | None
    at_kickoff: tuple[Held, ...]
    entered: tuple[Held, ...]
    now: tuple[Held, ...]


@dataclass(frozen=True)
class Places:
    """The numbers on rosters at kickoffs, as entered in games, and on the rosters now."""

    at_kickoff: Mapping[Key, int | None]
    entered: Mapping[Key, Iterable[int]]
    now: Mapping[tuple[str, str], int | None]

    def teams(self, game: str, player: str) -> list[str]:
        """The teams that the player was on, or was entered for, in the game."""
        keys = {*self.at_kickoff, *self.entered}
        return sorted({team for at, team, who in keys if (at, who) == (game, player)})

    def numbers(self, game: str, team: str, player: str) -> list[int]:
        """Every number that the player had there."""
        key = game, team, player
        held = {*self.entered.get(key, ()), self.at_kickoff.get(key)}
        return sorted(number for number in held if number is not None)


def trace_leads(
    places: Places, game: str, asked: Sequence[str], namesakes: Mapping[str, Collection[str]]
) -> tuple[Lead, ...]:
    """The leads of the players asked about, in this order; `namesakes` are others by player."""
    found = []
    for player in asked:
        for team in places.teams(game, player):
            for number in places.numbers(game, team, player):
                found.append(_lead(places, game, team, player, number=number))
            called = {player, *namesakes.get(player, ())}
            if len(called) > 1:
                found.append(_lead(places, game, team, player, called=called))
            found.append(_lead(places, game, team, player))
    return tuple(found)


def _lead(
    places: Places,
    game: str,
    team: str,
    player: str,
    *,
    number: int | None = None,
    called: Collection[str] = (),
) -> Lead:
    def chosen(held: Iterable[Held]) -> tuple[Held, ...]:
        if number is not None:
            return tuple(sorted(one for one in held if one.number == number))
        wanted = called or {player}
        return tuple(sorted((one for one in held if one.player in wanted), key=str))

    return Lead(
        by="number" if number is not None else "name" if called else "id",
        team=team,
        player=player,
        number=number,
        at_kickoff=chosen(
            Held(who, given)
            for (at, side, who), given in places.at_kickoff.items()
            if (at, side) == (game, team)
        ),
        entered=chosen(
            Held(who, given)
            for (at, side, who), many in places.entered.items()
            for given in many
            if (at, side) == (game, team)
        ),
        now=chosen(Held(who, given) for (side, who), given in places.now.items() if side == team),
    )
