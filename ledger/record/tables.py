"""The tables of a season folder: divisions, teams, players, officials, games."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Self
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict, model_validator

from ledger.errors import Fault
from ledger.record.accepted import Accepted
from ledger.record.csvfile import Record
from ledger.record.fields import (
    COLUMNS,
    ROLES_WITH_TEAM,
    Hundredths,
    Id,
    PlayerNumber,
    Role,
    Text,
    Utc,
    misfit,
)
from ledger.record.reading import Place, build, name_in_id, name_in_id_fault, one_of, shown


class Row(BaseModel):
    """A row of a table; `key` is unique in its table."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", defer_build=True)
    table: ClassVar[str]

    @property
    def key(self) -> tuple[str, ...]:
        raise NotImplementedError

    def accepted(self) -> Accepted:
        """The body of the row's event."""
        raise NotImplementedError

    def _given(self, *without: str) -> dict[str, Any]:
        return self.model_dump(exclude_none=True, exclude={*without})


class Division(Row):
    """A division and the limit of those who may carry the ball."""

    table = "divisions.csv"
    division: Id
    name: Text
    carrier_limit_lb: Hundredths

    @property
    def key(self) -> tuple[str, ...]:
        return (self.division,)

    def accepted(self) -> Accepted:
        limit = {"carrier_limit_clb": self.carrier_limit_lb}
        return Accepted("division", self._given("carrier_limit_lb") | limit)


class Team(Row):
    """A team of a division; its association may be blank."""

    table = "teams.csv"
    team: Id
    association: Text | None = None
    division: Id
    name: Text

    @property
    def key(self) -> tuple[str, ...]:
        return (self.team,)

    def accepted(self) -> Accepted:
        return Accepted("team", self._given("team"), team=self.team)


class Player(Row):
    """A child; team and number both or neither (known, on no roster yet).

    Without a name, the child has only a number.
    """

    table = "players.csv"
    player: Id
    team: Id | None = None
    number: PlayerNumber | None = None
    name: Text | None = None

    @model_validator(mode="after")
    def _both_or_neither(self) -> Self:
        if (self.team is None) != (self.number is None):
            raise misfit("number", "both team and number, or neither")
        return self

    @property
    def key(self) -> tuple[str, ...]:
        return (self.player,)

    def accepted(self) -> Accepted:
        data = self._given("player", "team", "name")
        personal = {"name": self.name} if self.name is not None else {}
        return Accepted("player", data, personal, team=self.team, player=self.player)


class Official(Row):
    """A role of an official, one line a role; a coach or a weighmaster has a team."""

    table = "officials.csv"
    official: Id
    name: Text
    role: Role
    team: Id | None = None

    @model_validator(mode="after")
    def _role_with_team(self) -> Self:
        if self.role in ROLES_WITH_TEAM and self.team is None:
            raise misfit("team", "a team: weighmasters and coaches need one")
        return self

    @property
    def key(self) -> tuple[str, ...]:
        return (self.official, self.role, self.team or "")

    def accepted(self) -> Accepted:
        return Accepted(
            "official", self._given("name", "team"), {"name": self.name}, team=self.team
        )


class Game(Row):
    """A game of two teams of its division; the site may be blank."""

    table = "games.csv"
    game: Id
    division: Id
    kickoff: Utc
    site: Text | None = None
    home: Id
    visitor: Id

    @property
    def key(self) -> tuple[str, ...]:
        return (self.game,)

    def accepted(self) -> Accepted:
        return Accepted("game", self._given("game"), game=self.game)


TABLES: tuple[type[Row], ...] = (Division, Team, Player, Official, Game)
_PARSERS = COLUMNS | {"carrier_limit_lb": COLUMNS["limit"]}


@dataclass(frozen=True)
class PlacedRow:
    """A row, where it stands, and its faults unless it was loaded before (`if_new`)."""

    row: Row
    place: Place
    if_new: Sequence[Fault] = ()


def read_row(model: type[Row], record: Record, local: ZoneInfo) -> tuple[Row | None, list[Fault]]:
    """The row of a record, or its faults."""
    given: dict[str, Any] = {}
    faults = []
    for column, text in record.cells.items():
        try:
            given[column] = _PARSERS[column](text, local) if column in _PARSERS else text
        except ValueError as error:
            faults.append(record.place.fault(column, shown(text), str(error)))
    unread = record.cells.keys() - given.keys()
    row, more = build(model, given, record.place, record.cells, unread=unread)
    return (None if faults else row), faults + more


def check_tables(tables: Mapping[str, list[PlacedRow]]) -> list[Fault]:
    """What is wrong between the rows: ids twice, unknown ids, numbers twice, odd games."""
    faults = [fault for rows in tables.values() for fault in _twice(rows)]
    divisions = {placed.row.key[0] for placed in tables[Division.table]}
    teams = {p.row.team: p.row.division for p in tables[Team.table] if isinstance(p.row, Team)}
    numbers: dict[tuple[str, int], str] = {}
    for placed in (placed for rows in tables.values() for placed in rows):
        row, place = placed.row, placed.place
        faults += _unknown(place, "division", getattr(row, "division", None), divisions, row)
        faults += _unknown(place, "team", getattr(row, "team", None), teams, row)
        if isinstance(row, Player):
            if name_in_id(row.player, row.name or ""):
                faults.append(name_in_id_fault(place, row.player))
            if row.team is not None and row.number is not None:
                other = numbers.setdefault((row.team, row.number), row.player)
                if other != row.player:
                    found = f"{row.number}, which {other} of {row.team} already has"
                    faults.append(place.fault("number", found, "each number once per team"))
        if isinstance(row, Game):
            faults += _game(place, row, teams, divisions)
    return faults


def _game(
    place: Place, row: Game, teams: Mapping[str, str], divisions: Collection[str]
) -> list[Fault]:
    faults = []
    if row.home == row.visitor:
        faults.append(place.fault("visitor", shown(row.visitor), "a team other than the home team"))
    for column, team in (("home", row.home), ("visitor", row.visitor)):
        if team not in teams:
            right = one_of(teams, team, "a team in teams.csv")
            faults.append(place.fault(column, shown(team), right))
        elif teams[team] != row.division and row.division in divisions:
            found = f"'{team}' in division {teams[team]}"
            faults.append(
                place.fault(column, found, f"a team in the game's division {row.division}")
            )
    return faults


def _unknown(
    place: Place, column: str, value: str | None, known: Iterable[str], row: Row
) -> list[Fault]:
    if value is None or value in known or row.table == f"{column}s.csv":
        return []
    return [place.fault(column, shown(value), one_of(known, value, f"a {column} in {column}s.csv"))]


def _twice(rows: list[PlacedRow]) -> list[Fault]:
    seen: dict[tuple[str, ...], Place] = {}
    faults = []
    for placed in rows:
        first = seen.setdefault(placed.row.key, placed.place)
        if first is not placed.place:
            found = f"{' '.join(filter(None, placed.row.key))} a second time"
            right = f"it once; it is already on line {first.line}"
            faults.append(
                placed.place.fault(next(iter(type(placed.row).model_fields)), found, right)
            )
    return faults
