"""Who holds which role, and who may give one: officials.csv and the appoints that count."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tests.reference.statements import Statement

MAY_GIVE_ANY = ("registrar", "association_president", "division_president")
MAY_GIVE_HELPERS = ("site_official", "board_member")
HELPERS = ("weighmaster", "play_counter")


@dataclass(frozen=True)
class Role:
    """`game` is None where the role is held in every game."""

    official: str
    role: str
    team: str | None
    game: str | None = None

    def is_held_in(self, game: str | None) -> bool:
        """ "A role given for a game is held in that game only." """
        return self.game is None or self.game == game


class Roles:
    """ "Roles: as officials.csv and appoint have them, whenever appointed."

    `with_authority` are those of officials.csv and of appoints with authority; `unauthorized` are
    the other appoints, in ledger order.
    """

    def __init__(self, of_the_table: Iterable[Role], appoints: Sequence[Statement]) -> None:
        """ "The appoints that count are gone through in ledger order, from the roles of
        officials.csv on."
        """
        self.every: set[Role] = set(of_the_table)
        self.with_authority: set[Role] = set(self.every)
        self.unauthorized: list[Statement] = []
        for appoint in sorted(appoints, key=lambda appoint: appoint.position):
            given = Role(appoint.data["value"], appoint.data["to"], appoint.team, appoint.game)
            self.every.add(given)
            if self._may_appoint(appoint):
                self.with_authority.add(given)
            else:
                self.unauthorized.append(appoint)

    def _may_appoint(self, appoint: Statement) -> bool:
        """ "One has authority if `by` is not `value`, and `by` then holds, by officials.csv or by
        an appoint with authority before it (one for a game only for that game), the role registrar,
        association_president or division_president; or site_official or board_member, where `to` is
        weighmaster or play_counter."
        """
        wanted = MAY_GIVE_ANY
        if appoint.data["to"] in HELPERS:
            wanted += MAY_GIVE_HELPERS
        holds = _holds(self.with_authority, appoint.by, wanted, appoint.game)
        return appoint.by != appoint.data["value"] and holds

    def holds(self, official: str, roles: Iterable[str], game: str | None) -> bool:
        """True where the official holds one of these roles in the game, for any team or none."""
        return _holds(self.every, official, roles, game)

    def holds_with_authority(self, official: str, roles: Iterable[str], game: str | None) -> bool:
        return _holds(self.with_authority, official, roles, game)

    def holds_for(self, official: str, role: str, team: str, game: str) -> bool:
        """True where the official holds the role for that very team in the game."""
        wanted = (Role(official, role, team), Role(official, role, team, game))
        return any(one in self.every for one in wanted)


def _holds(held: Iterable[Role], official: str, roles: Iterable[str], game: str | None) -> bool:
    wanted = set(roles)
    return any(
        one.official == official and one.role in wanted and one.is_held_in(game) for one in held
    )
