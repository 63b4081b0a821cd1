"""The numbers of a season summary as files that go with it: one JSON, and CSV for spreadsheets.

They hold what the paper may show and nothing else: a count of children that the paper keeps back
is the same words here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any

from ledger.derive.spreadsheet import format_csv
from ledger.papers.context import PaperHead
from ledger.papers.finish import Attachment
from ledger.papers.season_figures import CHILDREN, LEAGUE, SeasonCount, UnitCount, Where
from ledger.papers.suppress import Kept, Shown

FILES = (
    ("season-summary.json", "every number of this paper"),
    ("units.csv", "league, associations and teams"),
    ("weeks.csv", "the weeks"),
    ("rules.csv", "the findings by rule"),
    ("cases.csv", "the questions put to review"),
)
_TYPES = {"json": "application/json", "csv": "text/csv"}
_GAMES = (
    "teams",
    "games",
    "games_off",
    "games_weighed",
    "games_on_scale",
    "games_proved",
    "games_scale_out",
    "checks",
    "checks_passed",
    "sides",
    "sides_attended",
    "sides_due_count",
    "sides_counted",
)
_CASES = (
    "cases",
    "answered",
    "answered_late",
    "overdue_open",
    "middle_hours",
    "longest_hours",
)


def season_files(
    season: SeasonCount, where: Where, head: PaperHead, team_name: Callable[[str], str]
) -> tuple[Attachment, ...]:
    """The files of a paper about this part of the season."""
    units = [season.units[one] for one in _shown(season, where)]
    tables = {
        "units": [_unit(unit, team_name) for unit in units],
        "weeks": [_at(unit) | row for unit in units for row in _weeks(unit)],
        "rules": [_at(unit) | row for unit in units for row in _rules(unit)],
        "cases": [_at(unit) | row for unit in units for row in _outcomes(unit)],
    }
    whole = {
        "league": head.league,
        "season": head.season,
        "ledger": {"head": head.head_id, "hash": head.head_hash},
        "as_of": head.as_of or None,
        "known_at": head.known_at or None,
        "children": "Counts of children (weighed, late, short, player findings) from 1 to 4 are"
        " 'fewer than 5'; 'not shown' may be any number.",
        **tables,
    }
    contents = {"season-summary.json": json.dumps(whole, ensure_ascii=False, indent=1) + "\n"}
    for name, rows in tables.items():
        columns = list(rows[0]) if rows else ["level", "unit"]
        contents[f"{name}.csv"] = format_csv(columns, ([*row.values()] for row in rows))
    return tuple(
        Attachment(
            name=name,
            content=contents[name].encode(),
            media_type=_TYPES[name.rpartition(".")[2]],
            description=f"The numbers of the season summary: {said}",
        )
        for name, said in FILES
    )


def _shown(season: SeasonCount, where: Where) -> list[Where]:
    """The unit itself, and what lies in it."""
    if where == LEAGUE:
        return sorted(season.units, key=lambda one: (one[0] != "league", one))
    teams = season.members[where] if where[0] == "association" else ()
    return [where, *(("team", team) for team in teams)]


def _at(unit: UnitCount) -> dict[str, Any]:
    return {"level": unit.level, "unit": unit.unit}


def _number(shown: Shown | None) -> int | str | None:
    return shown.value if isinstance(shown, Kept) else shown


def _unit(unit: UnitCount, team_name: Callable[[str], str]) -> dict[str, Any]:
    row = _at(unit) | {"name": team_name(unit.unit) if unit.level == "team" else unit.unit}
    row |= {key: unit.games[key] for key in _GAMES}
    row |= {
        f"signatures_{key}": unit.signatures[key]
        for key in ("due", "by_key", "by_ink", "by_sheet", "missing")
    }
    row |= {key: unit.entries[key] for key in ("statements", "entered_late")}
    row |= {key: unit.cases[key] for key in _CASES}
    return row | {f"children_{what}": _number(unit.children[what]) for what in CHILDREN}


def _weeks(unit: UnitCount) -> Iterable[dict[str, Any]]:
    for week in unit.weeks:
        yield {
            "week": week.week,
            "date": week.date,
            "games": week.games,
            "games_off": week.games_off,
            "games_weighed": week.weighed,
            "signatures_due": week.signatures_due,
            "signatures_given": week.signed,
            "step_findings": week.steps,
            "player_findings": _number(week.players),
        }


def _rules(unit: UnitCount) -> Iterable[dict[str, Any]]:
    for one in unit.rules:
        yield {
            "rule": one.rule,
            "is_about_player": one.is_about_player,
            "is_shared": one.is_shared,
            "findings": _number(one.count),
        }


def _outcomes(unit: UnitCount) -> Iterable[dict[str, Any]]:
    for row in unit.outcomes:
        yield {key: row[key] for key in ("reason", "outcome", *_CASES)}
