"""The children of all sheets together: their teams, and what does not fit between rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.record.roster_columns import name_key
from ledger.record.roster_rows import Child, Remark


@dataclass(frozen=True)
class RosterTeam:
    """A team as the rosters name it; "" where they do not say."""

    name: str
    division: str
    association: str


@dataclass(frozen=True)
class Roster:
    """Teams and children in the order of the sheets; `on_team` can be on the team's roster.

    players.csv has a team only with a number, and a number once in a team.
    """

    teams: tuple[RosterTeam, ...]
    children: tuple[Child, ...]
    on_team: frozenset[Child]
    remarks: tuple[Remark, ...]


def gather(children: Iterable[Child]) -> Roster:
    """Put the children of all sheets together; each remark is about a row that is changed."""
    teams: dict[str, RosterTeam] = {}
    kept: list[Child] = []
    remarks: list[Remark] = []
    rows: dict[tuple[str, int | None, str], Child] = {}
    numbers: dict[tuple[str, int], Child] = {}
    for child in children:
        key = name_key(child.team)
        same = (key, child.number, name_key(child.name))
        if child.name and (first := rows.setdefault(same, child)) is not child:
            remarks.append(_about("row_twice", child, child.name, first))
            continue
        if child.team:
            remarks += _learn_team(teams, key, child)
        if child.number is not None and child.team:
            holder = numbers.setdefault((key, child.number), child)
            if holder is not child:
                if not child.name:
                    remarks.append(_about("row_twice", child, f"#{child.number}", holder))
                    continue
                remarks.append(_about("number_twice", child, _named(child), holder))
        kept.append(child)
    remarks += _on_two_teams(kept)
    on_team = frozenset(numbers.values())
    return Roster(tuple(teams.values()), tuple(kept), on_team, tuple(remarks))


def _learn_team(teams: dict[str, RosterTeam], key: str, child: Child) -> list[Remark]:
    """Keep what the row says of its team; remark where it contradicts an earlier row."""
    before = teams.setdefault(key, RosterTeam(child.team, child.division, child.association))
    teams[key] = RosterTeam(
        before.name, before.division or child.division, before.association or child.association
    )
    known = teams[key]
    return [
        Remark(code, child.sheet, child.row, known.name, said)
        for code, said, held in (
            ("two_divisions", child.division, known.division),
            ("two_associations", child.association, known.association),
        )
        if said and name_key(said) != name_key(held)
    ]


def _on_two_teams(children: Iterable[Child]) -> list[Remark]:
    remarks = []
    first: dict[str, Child] = {}
    for child in children:
        if child.name:
            other = first.setdefault(name_key(child.name), child)
            if name_key(other.team) != name_key(child.team):
                remarks.append(_about("on_two_teams", child, child.name, other))
    return remarks


def _about(code: str, child: Child, about: str, other: Child) -> Remark:
    return Remark(code, child.sheet, child.row, about, f"{_named(other)}, row {other.row}")


def _named(child: Child) -> str:
    number = "" if child.number is None else f"#{child.number}"
    return " ".join(filter(None, [child.team, number, child.name]))
