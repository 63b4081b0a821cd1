"""What a signature to a team's list signs: the list's content, and its number.

    {"game":…,"team":…,"rows":[…],"lines":[…]}

`rows` are the team's rows of eligibility, as in `weighbook eligibility --format json`. `lines` are
the lines of the list, each

    {"event":…,"player":…,"number":…,"reason":…,"at":…,"by":…,"struck":null}

and, if struck off, `struck` is `{"event":…,"at":…,"by":…}`.

Names, signatures and control data are not in it. The number of the list is the SHA-256 (hex) of the
content's canonical bytes (RFC 8785): lists that differ in any cell have different numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from hashlib import sha256
from typing import Any

from ledger.chain.canonical import canonical
from ledger.chain.event import place_of
from ledger.derive.engine import Engine

FORM = 2
"""The form of a countersignature that keeps what it signs; form 1 kept a digest only."""
RULES = "1"
"""The version of the rules behind the rows. If an answer changes, raise it; a test checks."""

_LINE = {"event": "event_id", "player": "player", "number": "number", "reason": "reason",
         "at": "listed_at", "by": "listed_by"}  # fmt: skip
_STRUCK = {"event": "strike_id", "at": "struck_at", "by": "struck_by"}
"""Keys of a line, and of `struck`, with their columns of `ineligible_list`."""
_KEYS = {
    "rows": frozenset({"game", "team", "player", "number", "may_play", "may_carry", "basis",
                       "listed", "events"}),
    "lines": frozenset({*_LINE, "struck"}),
}  # fmt: skip


def list_content(engine: Engine, game: str, team: str) -> dict[str, Any]:
    """What a signature to this list signs now."""
    return list_contents(engine, game).get((game, team)) or _empty(game, team)


def list_contents(engine: Engine, game: str | None = None) -> dict[tuple[str, str], dict[str, Any]]:
    """The same for every list of the game or the season, by game and team."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for row in engine.answer("eligibility", game=game).dicts():
        key = row["game"], row["team"]
        found.setdefault(key, _empty(*key))["rows"].append(row)
    for row in engine.answer("ineligible_list", game=game).dicts():
        found[row["game"], row["team"]]["lines"].append(_line(row))
    return found


def list_number(content: Mapping[str, Any]) -> str:
    """SHA-256 (hex) of the content's canonical bytes."""
    return sha256(canonical(dict(content))).hexdigest()


def is_content(value: Any) -> bool:
    """Whether this has the form of a list's content; a signature may keep anything."""
    return (
        isinstance(value, dict)
        and value.keys() == {"game", "team", "rows", "lines"}
        and all(_are_dicts(value[key], keys) for key, keys in _KEYS.items())
        and _are_dicts([one["struck"] for one in value["lines"] if one["struck"]], _STRUCK.keys())
    )


def signed_content(data: Mapping[str, Any]) -> dict[str, Any] | None:
    """The list that a signature with this data keeps, if it has the number that was signed."""
    content: Any = data.get("shown")
    is_it = is_content(content) and list_number(content) == data.get("list")
    return dict(content) if is_it else None


def _are_dicts(items: Any, keys: Set[str]) -> bool:
    return isinstance(items, list) and all(
        isinstance(one, dict) and one.keys() == keys for one in items
    )


def first_form_number(content: Mapping[str, Any]) -> str:
    """The number in signatures of form 1: of the lines only, without their times."""
    lines = [
        [one["event"], one["player"], one["reason"], one["struck"] and one["struck"]["event"]]
        for one in sorted(content["lines"], key=lambda line: place_of(line["event"]))
    ]
    whole = {"game": content["game"], "team": content["team"], "lines": lines}
    return sha256(canonical(whole)).hexdigest()


def by_player(content: Mapping[str, Any]) -> dict[str, tuple[Any, list[Any]]]:
    """Each player's row of eligibility (None without one) and lines of the list."""
    found: dict[str, tuple[Any, list[Any]]] = {}
    for row in content["rows"]:
        found[row["player"]] = (row, [])
    for line in content["lines"]:
        found.setdefault(line["player"], (None, []))[1].append(line)
    return found


def _empty(game: str, team: str) -> dict[str, Any]:
    return {"game": game, "team": team, "rows": [], "lines": []}


def _line(row: Mapping[str, Any]) -> dict[str, Any]:
    line, struck = ({k: row[column] for k, column in keys.items()} for keys in (_LINE, _STRUCK))
    return line | {"struck": struck if struck["event"] is not None else None}
