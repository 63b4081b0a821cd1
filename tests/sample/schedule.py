"""Seven Saturdays, two games a division on each: everybody meets everybody, then again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from tests.sample.people import SITES, TEAMS

FIRST_SATURDAY = date(2026, 9, 5)
ALLOWANCE_FROM = date(2026, 10, 1)
ALLOWANCE_LB = 2

_ACORN = ("newts", "marmots", "quokkas", "dormice")
_OAK = ("pangolins", "snapdragons", "wombats", "capybaras")
# Home and visitor of the two games of a week, as places in the two rows above.
_WEEKS = (
    ((0, 1), (2, 3)),
    ((0, 2), (3, 1)),
    ((3, 0), (1, 2)),
    ((1, 0), (3, 2)),
    ((2, 0), (1, 3)),
    ((0, 3), (2, 1)),
    ((0, 1), (2, 3)),
)


@dataclass(frozen=True)
class Fixture:
    """A game as games.csv has it; `moved` gives it as it was played."""

    id: str
    division: str
    week: int
    kickoff: datetime
    site: str
    home: str
    visitor: str

    @property
    def sides(self) -> tuple[str, str]:
        """The order of weighing: visitors first."""
        return self.visitor, self.home

    def other(self, team: str) -> str:
        return self.home if team == self.visitor else self.visitor

    def moved(self, kickoff: datetime, site: str) -> Fixture:
        return replace(self, kickoff=kickoff, site=site)


def fixtures() -> list[Fixture]:
    games = []
    for week, pairs in enumerate(_WEEKS, 1):
        day = FIRST_SATURDAY + timedelta(weeks=week - 1)
        for division, teams, hour, minute in (("acorn", _ACORN, 9, 0), ("oak", _OAK, 11, 30)):
            for letter, (home, visitor) in zip("ab", pairs, strict=True):
                kickoff = datetime(day.year, day.month, day.day, hour, minute)
                site = SITES[TEAMS[teams[home]].place]
                name = f"{division}-{week}{letter}"
                sides = (teams[home], teams[visitor])
                games.append(Fixture(name, division, week, kickoff, site, *sides))
    return games
