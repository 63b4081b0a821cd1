"""The tables of a season folder: divisions, teams, players, officials, games."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar, Self
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict, model_validator

from ledger.errors import Fault
from ledger.record.accepted import Accepted
from ledger.record.csvfile import Read, Record
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
from ledger.record.reading import Place, build, limit_faults, shown


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


@dataclass
class Table:
    """A table as far as it can be read: its rows, and the cells of records that are none.

    `is_whole`: every id of the table is among them.
    """

    rows: list[PlacedRow] = field(default_factory=list)
    unread: list[Mapping[str, str]] = field(default_factory=list)
    is_whole: bool = True


def read_table(model: type[Row], read: Read, local: ZoneInfo) -> tuple[Table, list[Fault]]:
    """The table of a file's records, and the faults of the file and of its records."""
    table, faults = Table(is_whole=not read.has_missed), list(read.faults)
    own_id = next(iter(model.model_fields))
    for record in read.records:
        row, more = read_row(model, record, local)
        faults += more
        if row is not None:
            if_new = limit_faults(record.cells, record.place)
            table.rows.append(PlacedRow(row, record.place, if_new))
        else:
            table.unread.append(record.cells)
            table.is_whole &= all(fault.column != own_id for fault in more)
    return table, faults


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
