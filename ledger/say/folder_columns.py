"""The columns of tables and day files, and the kinds of entries: types, words, examples.

Names and types come from the models in `ledger.record`.
"""

from __future__ import annotations

import inspect
from collections.abc import Mapping
from dataclasses import dataclass

from ledger.record import fields
from ledger.record.hints import fixed_words, given, hints
from ledger.record.statements import KINDS, MayConcern, OfPlayer, Statement
from ledger.record.tables import TABLES, Row
from ledger.say.folder_types import cell_type

EVERY_KIND = ("at", "entered", "kind", "by", "ref", "note")
WHO = ("player", "number", "name")
_EXAMPLES = {
    "at": "2026-09-05 08:41",
    "entered": "2026-09-05 08:50",
    "kind": "weigh",
    "game": "acorn-1a",
    "team": "newts",
    "player": "k612",
    "number": "12",
    "name": "Pip Thimbleberry",
    "by": "marmots-wm3",
    "value": "ok",
    "reason": "thunderstorm",
    "half": "1",
    "count": "6",
    "reading": "10.05",
    "limit": "95",
    "initials": "H.T.",
    "case": "late-child",
    "to": "weighmaster",
    "may_play": "full",
    "may_carry": "yes",
    "kickoff": "2026-09-05 09:00",
    "site": "Quillowick Green",
    "ref": "w12",
    "target": "office:57",
    "note": "Came with the second bus.",
}
_OF_TABLE = {
    "division": "acorn",
    "carrier_limit_lb": "95",
    "association": "glimmerfen",
    "official": "marmots-wm3",
    "role": "weighmaster",
    "home": "newts",
    "visitor": "marmots",
    ("divisions.csv", "name"): "Acorn",
    ("teams.csv", "name"): "Glimmerfen Newts",
    ("officials.csv", "name"): "Hazel Thimbleberry",
    ("officials.csv", "team"): "marmots",
}
_OF_KIND = {
    ("trained", "value"): "newts-wm4",
    ("assign", "value"): "newts-wm4",
    ("appoint", "value"): "newts-wm4",
    ("appoint", "name"): "Hazel Thimbleberry",
    ("case_exhibit", "value"): "0123456789abcdef" * 4,
    ("case_refer", "to"): "division_president",
    ("season_close", "by"): "registrar",
    ("scale_out", "reason"): "beam sticks",
    ("withdraw", "reason"): "typed 21 for 12",
    ("game_change", "kickoff"): "2026-09-05 10:30",
}
_SHOWN_TOO = {
    "roster_add": ("number",),
    "enter_player": ("team", "number"),
    "appoint": ("name", "team"),
    "game_change": ("kickoff",),
    "concern": ("team", "number"),
    "case_open": ("game", "team", "number"),
    "case_statement": ("note",),
    "season_close": ("by",),
    "ruling": ("game", "team", "number", "may_play"),
}
"""Columns that a kind may leave out, or that every kind has, and its example shows."""
_BLANK = {"at": None, "kind": None, "by": None, "entered": "the same as at"}


@dataclass(frozen=True)
class Column:
    """A column: what its cells hold, an example, and in `blank` what an empty cell means.

    `blank` is None if a cell must not be empty, and "" if a kind decides it.
    """

    name: str
    holds: str
    blank: str | None
    example: str


@dataclass(frozen=True)
class KindOfEntry:
    """A kind: its columns beside those that every kind has, its fixed words, an example."""

    name: str
    says: str
    needs: tuple[str, ...]
    may: tuple[str, ...]
    words: Mapping[str, tuple[str, ...]]
    example: Mapping[str, str]


def tables() -> dict[str, list[Column]]:
    """The columns of each table, by file."""
    return {model.table: _table(model) for model in TABLES}


def day_columns() -> list[Column]:
    """The columns of a day file."""
    found = []
    for column in fields.COLUMNS:
        uses = [of[column] for of in map(hints, KINDS.values()) if column in of]
        holds = " or ".join(dict.fromkeys(map(cell_type, uses))) or "one of the kinds"
        found.append(Column(column, holds, _BLANK.get(column, ""), _EXAMPLES[column]))
    return found


def kinds() -> list[KindOfEntry]:
    """Every kind of entry."""
    return [_kind(model) for model in KINDS.values()]


def _table(model: type[Row]) -> list[Column]:
    found = []
    for name, hint in hints(model).items():
        required = model.model_fields[name].is_required()
        example = _OF_TABLE.get((model.table, name)) or _OF_TABLE.get(name) or _EXAMPLES[name]
        found.append(Column(name, cell_type(hint), None if required else "nothing", example))
    return found


def _kind(model: type[Statement]) -> KindOfEntry:
    needs: list[str] = []
    may: list[str] = []
    names_who = issubclass(model, OfPlayer | MayConcern)
    for column, info in model.model_fields.items():
        if column not in EVERY_KIND and not (names_who and column in WHO):
            (needs if info.is_required() else may).append(column)
    if issubclass(model, OfPlayer):
        needs.insert(2, "who")
    elif names_who:
        may.append("who")
    words = {
        column: tuple(fixed_words(hint))
        for column, hint in hints(model).items()
        if given(hint) != fields.Role and fixed_words(hint)
    }
    says = " ".join((inspect.getdoc(model) or "").split("\n\n")[0].split())
    shown = [*(("number" if one == "who" else one) for one in needs)]
    shown += [one for one in _SHOWN_TOO.get(model.kind, ()) if one not in shown]
    example = {one: _example(model.kind, one, words) for one in fields.COLUMNS if one in shown}
    return KindOfEntry(model.kind, says, tuple(needs), tuple(may), words, example)


def _example(kind: str, column: str, words: Mapping[str, tuple[str, ...]]) -> str:
    if column in words:
        return words[column][0]
    return _OF_KIND.get((kind, column)) or _EXAMPLES[column]
