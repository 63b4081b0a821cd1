"""What is wrong between the rows of a season folder: ids twice, unknown ids, odd games.

A row that cannot be read still tells its id. Where an id cannot be read either, nothing is held
against that table: each id that seems unknown may be that one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ledger.errors import Fault
from ledger.record.reading import Place, name_in_id, name_in_id_fault, one_of, shown
from ledger.record.tables import Division, Game, PlacedRow, Player, Row, Table, Team


class Between(NamedTuple):
    """The faults between rows, and how many rows name ids of a table that is not whole."""

    faults: list[Fault]
    unchecked: int


class _Known(NamedTuple):
    """The divisions, and the teams with the division of each; None where a table is not whole."""

    divisions: Mapping[str, str] | None
    teams: Mapping[str, str] | None


def check_tables(tables: Mapping[str, Table]) -> Between:
    """Hold the rows of these tables against each other."""
    known = _Known(
        _ids(tables[Division.table], Division, "division"),
        _ids(tables[Team.table], Team, "division"),
    )
    faults = [fault for table in tables.values() for fault in _twice(table.rows)]
    numbers: dict[tuple[str, int], str] = {}
    unchecked = 0
    for placed in (placed for table in tables.values() for placed in table.rows):
        row, place = placed.row, placed.place
        faults += _unknown(place, "division", row, known.divisions)
        faults += _unknown(place, "team", row, known.teams)
        unchecked += _names_a_lost_id(row, known)
        if isinstance(row, Player):
            if name_in_id(row.player, row.name or ""):
                faults.append(name_in_id_fault(place, row.player))
            if row.team is not None and row.number is not None:
                other = numbers.setdefault((row.team, row.number), row.player)
                if other != row.player:
                    found = f"{row.number}, which {other} of {row.team} already has"
                    faults.append(place.fault("number", found, "each number once per team"))
        if isinstance(row, Game):
            faults += _game(place, row, known)
    return Between(faults, unchecked)


def _ids(table: Table, model: type[Row], beside: str) -> Mapping[str, str] | None:
    """The table's ids, each with its cell `beside`; None if some are not known."""
    if not table.is_whole:
        return None
    own_id = next(iter(model.model_fields))
    unread = {cells[own_id]: cells.get(beside, "") for cells in table.unread}
    return unread | {placed.row.key[0]: getattr(placed.row, beside) for placed in table.rows}


def _names_a_lost_id(row: Row, known: _Known) -> bool:
    names = {name for name, ids in known._asdict().items() if ids is None}
    of = {"divisions": ("division",), "teams": ("team", "home", "visitor")}
    return any(
        getattr(row, column, None) is not None and row.table != f"{name}.csv"
        for name in names
        for column in of[name]
    )


def _game(place: Place, row: Game, known: _Known) -> list[Fault]:
    faults = []
    if row.home == row.visitor:
        faults.append(place.fault("visitor", shown(row.visitor), "a team other than the home team"))
    if known.teams is None:
        return faults
    for column, team in (("home", row.home), ("visitor", row.visitor)):
        division = known.teams.get(team)
        if division is None:
            right = one_of(known.teams, team, "a team in teams.csv")
            faults.append(place.fault(column, shown(team), right))
        elif division != row.division and {division, row.division} <= {*(known.divisions or ())}:
            found = f"'{team}' in division {division}"
            faults.append(
                place.fault(column, found, f"a team in the game's division {row.division}")
            )
    return faults


def _unknown(place: Place, column: str, row: Row, known: Iterable[str] | None) -> list[Fault]:
    value: str | None = getattr(row, column, None)
    if value is None or known is None or value in known or row.table == f"{column}s.csv":
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
