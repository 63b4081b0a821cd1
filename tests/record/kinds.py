"""Every kind of statement (FORMAT.md, section 6), written a second time, and lines of each.

`NEEDS` is that table: what a kind needs, and what it may have. `who` stands for its `player` where
a player, a number, or a name with a number will do.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from ledger.chain.event import Event
from tests.tiny import says

NEEDS = {
    "roster_add": ("team player by", "number"),
    "roster_drop": ("team player by", "number"),
    "number_change": ("team player number by", ""),
    "enter_player": ("player name by", "team number"),
    "trained": ("value by", ""),
    "assign": ("game team value by", ""),
    "appoint": ("to by value", "team name game"),
    "game_change": ("game by reason", "kickoff site"),
    "game_off": ("game by reason", ""),
    "season_close": ("by", ""),
    "at_scale": ("game team by", ""),
    "station": ("game by reading limit", ""),
    "scale_out": ("game by reason", ""),
    "list": ("game team who by reason", ""),
    "weigh": ("game team who by value", ""),
    "late_weigh": ("game team who by value", ""),
    "initial": ("game team who by value initials", ""),
    "strike_off": ("game team who by", "reason"),
    "stripe": ("game team who by", ""),
    "close": ("game team by", ""),
    "countersign": ("game team by", ""),
    "half": ("game half by", ""),
    "plays": ("game team who half count by", ""),
    "snaps": ("game half count by", ""),
    "excuse": ("game team who reason by", ""),
    "concern": ("game reason by", "team who"),
    "case_open": ("case by reason", "game team who"),
    "case_refer": ("case to by", ""),
    "case_statement": ("case by", ""),
    "case_exhibit": ("case by value", ""),
    "ruling": ("case by value", "game team who may_play may_carry"),
    "case_close": ("case by", ""),
    "withdraw": ("target by reason", ""),
}
ROLES = (
    "weighmaster",
    "coach",
    "play_counter",
    "site_official",
    "head_official",
    "registrar",
    "association_president",
    "division_president",
    "board_member",
)
CDT = timedelta(hours=5)  # America/Chicago in summer is UTC-5, from memory
DIGEST = "0f" * 32
# What stands in a column, and where a kind wants something else there.
CELLS = {
    "game": "g1", "team": "ash", "player": "a1", "number": "1", "name": "Wren Saltmarsh",
    "by": "we", "value": "ok", "reason": "other", "half": "1", "count": "12", "reading": "10.05",
    "limit": "100", "initials": "QX", "case": "c1", "to": "registrar", "may_play": "full",
    "may_carry": "no", "kickoff": "2026-09-05T11:00", "site": "Meadow", "target": "first",
}  # fmt: skip
OF_KIND = {
    **{(kind, "player"): "u1" for kind in ("roster_add", "roster_drop", "number_change")},
    **{(kind, "number"): "5" for kind in ("roster_add", "roster_drop", "number_change")},
    ("enter_player", "player"): "b9",
    ("enter_player", "number"): "9",
    ("trained", "value"): "wa",
    ("assign", "value"): "wa",
    ("appoint", "value"): "bo",
    ("appoint", "name"): "Bo Yarrow",
    ("case_open", "case"): "c2",
    ("case_exhibit", "value"): DIGEST,
    ("ruling", "value"): "upheld",
}
FREE_REASON = {"scale_out", "withdraw", "game_change", "game_off"}
FIRST = [
    says("close", game="g2", team="ash", ref="first"),
    says("case_open", case="c1", reason="other"),
]


def cells_of(kind: str, *, full: bool) -> dict[str, str]:
    needed, optional = NEEDS[kind]
    columns = (needed + " " + optional if full else needed).replace("who", "number").split()
    cells = {column: OF_KIND.get((kind, column), CELLS[column]) for column in columns}
    if kind == "appoint":  # `bo` is new: the name is needed
        cells["name"] = "Bo Yarrow"
    if full:
        cells |= {"entered": "2026-09-05 08:52", "ref": f"of-{kind}", "note": f"Said: {kind}"}
    return says(kind, **cells)


def personal_of(cells: Mapping[str, str]) -> dict[str, str]:
    """Personal text (FORMAT.md, section 5): names, notes, and reasons that are free text."""
    personal = {"name", "note"} | ({"reason"} if cells["kind"] in FREE_REASON else set())
    return {column: text for column, text in cells.items() if column in personal}


def data_of(event: Event) -> dict[str, Any]:
    """The event's data but where it stood and what is kept outside."""
    return {key: value for key, value in event.data.items() if key not in ("source", "digests")}


def expected_data(cells: Mapping[str, str]) -> dict[str, Any]:
    """JSON numbers, pounds as hundredths, UTC, and a target as an event id."""
    elsewhere = {"at", "entered", "kind", "by", "game", "team", "player", *personal_of(cells)}
    data: dict[str, Any] = {}
    for column, text in cells.items():
        if column in ("number", "half", "count"):
            data[column] = int(text)
        elif column in ("reading", "limit"):
            data[f"{column}_clb"] = int(Decimal(text) * 100)
        elif column == "kickoff":
            data[column] = utc_of(text)
        elif column == "target":
            data[column] = "office:21"  # the chain's key, the league, 18 rows, then the first line
        elif column not in elsewhere:
            data[column] = text
    return data


def utc_of(text: str) -> str:
    """The UTC text of a time, by Python's own reader; without an offset, of a day in CDT."""
    plain = datetime.fromisoformat(text)
    moment = plain.astimezone(UTC) if plain.tzinfo else plain.replace(tzinfo=UTC) + CDT
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03}Z"
