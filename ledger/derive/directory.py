"""Who and what a ledger knows by now: teams, games as they stand, players by number.

No names of people: these are disclosed apart (`ledger.say.names`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from ledger.derive.engine import Engine
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN, ROSTER, SCHEDULE
from ledger.record.times import local_date
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import withdrawals_of


class Team(NamedTuple):
    team: str
    name: str


class Game(NamedTuple):
    """A game as it stands; `date` is the local date of its kickoff (YYYY-MM-DD)."""

    game: str
    kickoff: str
    date: str
    home: str
    visitor: str
    site: str
    is_off: bool

    @property
    def sides(self) -> tuple[str, str]:
        return self.visitor, self.home


class Member(NamedTuple):
    """A player on a team's roster now."""

    team: str
    player: str
    number: int | None


@dataclass(frozen=True)
class Directory:
    """Reads each table when it is first asked for."""

    store: Store

    @cached_property
    def zone(self) -> str:
        return league_zone(self.store)

    @cached_property
    def players(self) -> tuple[str, ...]:
        """Every player in players.csv or entered later."""
        events = self.store.events(kind=BRINGS_IN["player"])
        return tuple(sorted({str(stored.event.player) for stored in events}))

    @cached_property
    def teams(self) -> tuple[Team, ...]:
        events = rows_that_count(stored.event for stored in self.store.events(kind=["team"]))
        return tuple(sorted(Team(str(event.team), event.data["name"]) for event in events))

    @cached_property
    def games(self) -> tuple[Game, ...]:
        """In order of kickoff."""
        rows = self._engine(*SCHEDULE).answer("game").dicts()
        rows.sort(key=lambda row: (row["kickoff_at"], row["game"]))
        return tuple(
            Game(
                row["game"],
                row["kickoff_at"],
                local_date(row["kickoff_at"], self.zone),
                row["home"],
                row["visitor"],
                row["site"] or "",
                row["is_off"],
            )
            for row in rows
        )

    @cached_property
    def members(self) -> tuple[Member, ...]:
        """The rosters after all statements, by team and number."""
        rows = self._engine("team", *ROSTER, "game").answer("book").dicts()
        return tuple(Member(row["team"], row["player"], row["number"]) for row in rows)

    def _engine(self, *kinds: str) -> Engine:
        events: list[Stored] = list(self.store.events(kind=["league", *kinds]))
        events += withdrawals_of(self.store, [one.id for one in events if one.event.at])
        return Engine(sorted(events))
