"""What to say before a day of games: each thing to settle, and the command that does it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from ledger.errors import count_of
from ledger.say.clock import local_clock, local_time
from ledger.say.lines import Line, short_id

ORDER = (
    "game_moved", "check_weight_unread", "roster_empty", "number_twice", "number_missing",
    "on_two_rosters", "weighmaster_missing", "assigned_not_own", "assigned_coach",
    "assigned_not_trained", "key_missing", "mark_missing", "plays_owed",
)  # fmt: skip
"""The checks in the order in which people settle them."""

_ASSIGN = "record assign --game {game} --team {team} --value OFFICIAL --by WHO"
_NUMBER = "record number_change --team {{team}} --player {} --number N --by WHO"
_COMMANDS: Mapping[str, str] = {
    "roster_empty": "record roster_add --team {team} --player PLAYER --number N --by WHO",
    "number_twice": _NUMBER.format("PLAYER"),  # a person says which of the two
    "number_missing": _NUMBER.format("{player}"),
    "on_two_rosters": "record roster_drop --team {team} --player {player} --by WHO",
    "weighmaster_missing": _ASSIGN,
    "assigned_not_own": "record appoint --to weighmaster --team {team} --value {official} --by WHO",
    "assigned_coach": _ASSIGN,
    "assigned_not_trained": "record trained --value {official} --at TIME --by WHO",
    "key_missing": "enroll {official} --by WHO",
}
_ADVICE: Mapping[str, str] = {
    "check_weight_unread": "Bring the check weight, and read it before the first child.",
    "mark_missing": "If the scale breaks, someone has to rule on who may carry.",
}


def command(rule: str, item: Mapping[str, Any]) -> str | None:
    """What to type after `weighbook` to settle it; None if no command does."""
    return _COMMANDS[rule].format_map(item) if rule in _COMMANDS else None


def heading(game: str, visitor: str, home: str, kickoff: str, site: str | None, zone: str) -> str:
    """ "acorn-4a: newts at marmots, 9:00 AM CDT, Nettlehop Field 2"."""
    place = f", {site}" if site else ", no site yet"
    return f"{game}: {visitor} at {home}, {local_clock(kickoff, zone)}{place}"


def item_lines(items: Sequence[Mapping[str, Any]], zone: str, store: str) -> list[Line]:
    """The things to settle in one game, by team, each with its command; `store` ends it."""
    lines: list[Line] = []
    ordered = sorted(items, key=lambda item: (item["team"] or "", ORDER.index(item["rule"])))
    for team, of_team in groupby(ordered, key=lambda item: item["team"]):
        if team:
            lines.append(Line(team, 2))
        for rule, same in groupby(of_team, key=lambda item: item["rule"]):
            rows = list(same)
            lines += [Line(f"– {_said(item, zone)}", 4, 6) for item in rows]
            lines += [Line(_ADVICE[rule], 6)] if rule in _ADVICE else []
            typed = dict.fromkeys(command(rule, item) for item in rows)
            lines += [Line(f"weighbook {one}{store}", 6) for one in typed if one]
    return lines


def counted(items: int, games: int) -> str:
    """ "9 things to settle in 4 games."."""
    what = count_of(items, "thing") if items else "Nothing"
    return f"{what} to settle in {count_of(games, 'game')}."


def _said(item: Mapping[str, Any], zone: str) -> str:
    """What was seen about it: "12 (k101): Another player …"."""
    who = item["official"] or short_id(item["player"])
    if item["number"] is not None:
        who = f"{item['number']} ({who})"
    if item["was_at"]:
        place = f", {item['was_site']}" if item["was_site"] else ""
        return f"{item['detail']} Scheduled: {local_time(item['was_at'], zone)}{place}."
    return f"{who}: {item['detail']}" if who else str(item["detail"])
