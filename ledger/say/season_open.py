"""What is still open in a season, in sentences: how many, which, and the command for more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.errors import count_of

HEADING = "Still open in this season:"
_SHOWN = 6
_Rows = Sequence[Mapping[str, Any]]


def open_lines(found: Mapping[str, _Rows]) -> tuple[str, ...]:
    """A line for each code."""
    return tuple(_LINES[code](rows) for code, rows in found.items())


def _cases(rows: _Rows) -> str:
    return _line(
        count_of(len(rows), "case") + " open", [row["case_id"] for row in rows], "case list"
    )


def _games(rows: _Rows) -> str:
    games = [row["game"] for row in rows]
    return _line(f"{count_of(len(rows), 'game')} not weighed and not called off", games, "status")


def _undecided(rows: _Rows) -> str:
    players = [f"{row['team']} {_called(row)} in {row['game']}" for row in rows]
    many = f"{count_of(len(rows), 'player')} with carrying not decided"
    return _line(many, players, "findings --rule carrier_undecided")


def _unsigned(rows: _Rows) -> str:
    lists = [f"the list of {row['team']} in {row['game']}, by {row['side']}" for row in rows]
    many = f"{count_of(len(rows), 'signature')} missing"
    return _line(many, lists, "findings --rule list_not_countersigned", between="; ")


def _uncounted(rows: _Rows) -> str:
    teams = [f"{row['team']} in {row['game']}" for row in rows]
    many = f"Plays of {count_of(len(rows), 'team')} not counted"
    return _line(many, teams, "findings --rule plays_not_counted")


_LINES = {
    "case_open": _cases,
    "game_not_weighed": _games,
    "carrier_undecided": _undecided,
    "list_not_countersigned": _unsigned,
    "plays_not_counted": _uncounted,
}


def _called(row: Mapping[str, Any]) -> str:
    return str(row["player"] if row["number"] is None else row["number"])


def _line(many: str, each: Sequence[str], command: str, between: str = ", ") -> str:
    rest = f" and {len(each) - _SHOWN} more" if len(each) > _SHOWN else ""
    return f"{many}: {between.join(each[:_SHOWN])}{rest}. See weighbook {command}."
