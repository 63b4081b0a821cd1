"""Begin a season: plan a season folder from answers and spreadsheets, and write it.

`plan` asks one question at a time: it raises AskForSeasonError, and the front end calls it again
with the answer. Nothing is written before `begin`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from ledger.actions.beginning_rosters import ReadRosters, read_rosters
from ledger.actions.season_questions import Wanted, need
from ledger.outputs import Kind, appearing, write_output
from ledger.record.fields import parse_pounds
from ledger.record.new_season import Cells, NewSeason, make_id, player_ids
from ledger.record.roster import Roster, RosterTeam
from ledger.record.roster_columns import name_key
from ledger.record.season_files import DAYS
from ledger.record.spreadsheet import Sheet
from ledger.record.times import find_zone, now_utc, zone
from ledger.say.new_season import folder_texts
from ledger.say.practice import practice_season
from ledger.say.roster_remarks import HARMLESS, remark_lines

_REGISTRAR = "registrar"
"""The role, and the id: an id never holds a name."""
_PRACTICE_ZONE = "America/Chicago"
_NEW = Kind("a new season's file", None)


@dataclass(frozen=True)
class Plan:
    """A season folder to be written, and what was read from spreadsheets for it."""

    season: NewSeason
    read: ReadRosters


def plan(wanted: Wanted, sheets: Sequence[Sheet] = ()) -> Plan:
    """The season that these answers and sheets make. AskForSeasonError for what is missing."""
    league = need(wanted, "league")
    season = need(wanted, "season", default=now_utc()[:4])
    time_zone = need(wanted, "time_zone", check=find_zone)
    read = read_rosters(sheets, wanted)
    divisions = _divisions(wanted, read.roster.teams)
    limits = {key: need(wanted, "limit", name, check=_limit) for key, name in divisions.items()}
    teams = _teams(wanted, divisions, read.roster.teams)
    division_ids = _ids(divisions, "division")
    team_ids = _ids({key: team.name for key, team in teams.items()}, "team")
    players, joins = _players(read.roster, team_ids, time_zone)
    registrar = need(wanted, "registrar", default=None if joins else "")
    planned = NewSeason(
        league,
        season,
        time_zone,
        tuple((division_ids[key], name, limits[key]) for key, name in divisions.items()),
        tuple(
            (team_ids[key], team.association, division_ids[name_key(team.division)], team.name)
            for key, team in teams.items()
        ),
        tuple(players),
        ((_REGISTRAR, registrar, _REGISTRAR, ""),) if registrar else (),
        joins=tuple(joins),
    )
    return Plan(planned, read)


def practice_plan(time_zone: str | None) -> Plan:
    """A small invented season whose first game is half an hour from now."""
    name = need(
        Wanted({("time_zone", ""): time_zone or _PRACTICE_ZONE}), "time_zone", check=find_zone
    )
    return Plan(practice_season(datetime.now(UTC), name), read_rosters((), Wanted()))


def to_settle(planned: Plan) -> list[str]:
    """What a person has to settle before the folder is loaded."""
    return remark_lines(one for one in planned.read.remarks if one.code not in HARMLESS)


def begin(folder: Path, planned: Plan) -> list[str]:
    """Write the season folder, all of it or nothing, and return its files.

    ReportError if the folder exists and holds anything.
    """
    texts = folder_texts(planned.season, to_settle(planned))
    with appearing(folder) as part:
        (part / DAYS).mkdir(0o700)
        for name, text in texts.items():
            write_output(text.encode(), part / name, _NEW)
    return list(texts)


def _players(
    roster: Roster, team_ids: dict[str, str], time_zone: str
) -> tuple[list[Cells], list[Cells]]:
    """The rows of players.csv; and roster lines for those whom it cannot have on a team.

    players.csv has a team only with a number, and a number once in a team.
    """
    rows: list[Cells] = []
    joins: list[Cells] = []
    now = datetime.now(zone(time_zone)).isoformat(" ", "minutes")
    for player, child in zip(player_ids(len(roster.children)), roster.children, strict=True):
        team = team_ids.get(name_key(child.team), "")
        if child in roster.on_team:
            rows.append((player, team, str(child.number), child.name))
        else:
            rows.append((player, "", "", child.name))
            joins += [(now, "roster_add", team, player, "", _REGISTRAR)] if team else []
    return rows, joins


def _divisions(wanted: Wanted, teams: Sequence[RosterTeam]) -> dict[str, str]:
    """The divisions by `name_key`, those that a person names first."""
    names = [*wanted.divisions, *(team.division for team in teams if team.division)]
    if not names:
        default = None if teams or wanted.teams else ""
        names = _listed(need(wanted, "divisions", default=default))
    found: dict[str, str] = {}
    for name in names:
        found.setdefault(name_key(name), name)
    return found


def _teams(
    wanted: Wanted, divisions: dict[str, str], on_sheets: Sequence[RosterTeam]
) -> dict[str, RosterTeam]:
    """The teams by `name_key`, each with a division that there is."""
    named = [RosterTeam(name, division, "") for name, division in wanted.teams]
    if not named and not on_sheets:
        for division in divisions.values():
            names = _listed(need(wanted, "teams", division, default=""))
            named += [RosterTeam(name, division, "") for name in names]
    found: dict[str, RosterTeam] = {}
    for team in (*named, *on_sheets):
        before = found.get(name_key(team.name), team)
        found[name_key(team.name)] = RosterTeam(
            before.name,
            before.division or team.division,
            before.association or team.association,
        )
    for key, team in found.items():
        if name_key(team.division) not in divisions:
            found[key] = RosterTeam(
                team.name, _division_of(team, wanted, divisions), team.association
            )
    return found


def _division_of(team: RosterTeam, wanted: Wanted, divisions: dict[str, str]) -> str:
    """The division of a team that names none, or one that there is not."""
    if not team.division and len(divisions) == 1:
        return next(iter(divisions.values()))
    names = list(divisions.values())

    def check(answer: str) -> str:
        if name_key(answer) not in divisions:
            raise ValueError(f"one of the divisions: {', '.join(names)}")
        return answer

    return need(wanted, "division", team.name, check=check, choices=names)


def _limit(text: str) -> str:
    clb = parse_pounds(text.strip().removesuffix("lb").removesuffix("lbs").strip())
    whole, part = divmod(clb, 100)
    return f"{whole}.{part:02d}" if part else str(whole)


def _listed(text: str) -> list[str]:
    return [name for part in text.split(",") if (name := " ".join(part.split()))]


def _ids(names: dict[str, str], otherwise: str) -> dict[str, str]:
    ids: dict[str, str] = {}
    for key, name in names.items():
        ids[key] = make_id(name, ids.values(), otherwise)
    return ids
