"""What the models know of a season folder: tables, columns, kinds, league.toml."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel

from ledger.record import fields, league, tables
from ledger.record.statements import KINDS, MayConcern, OfPlayer, Statement
from tests.contract.markdown import table

EVERY_KIND = ("at", "entered", "kind", "by", "ref", "note")
WHO = ("player", "number", "name")
_TYPES: list[tuple[Any, str]] = [
    (fields.Id, "id"),
    (fields.PlayerId, "id of a player"),
    (fields.Role, "role"),
    (fields.PlayerNumber, "whole number, 0 to 99"),
    (fields.Count, "whole number, 0 to 999"),
    (fields.Hundredths, "pounds, at most two decimal places"),
    (fields.Sha256, "SHA-256, 64 hexadecimal digits"),
    (fields.Target, "ref or event id"),
    (fields.Utc, "time"),
    (fields.Text, "text"),
]
_KEY_TYPES: list[tuple[Any, str]] = [
    (fields.Text, "text"),
    (bool, "true or false"),
    (league.Weight, "pounds over 0"),
    (league.Reviewers, "roles, in order"),
    (league.DateOrNone, 'date such as "2027-06-30", or ""'),
    (league.CardLines, f"lines of 1 to {league.LONGEST_CARD_LINE} characters"),
]
_KEY_WORDS = {
    "time_zone": "a name of the tz database",
    "limit_allowance": 'such as [{from = "2026-10-01", lb = 2}]',
    "by_squad_size": "[{up_to = 20, minimum = 12}, {minimum = 10}]",
}


def parts() -> dict[str, str]:
    """Every part by name."""
    return {
        "tables": _tables(),
        "roles": ", ".join(fields.ROLES) + ".",
        "league": f"```toml\n{toml()}```",
        "columns": _columns(),
        "kinds": _kinds(),
        "personal": _personal(),
        "limits": f"Initials have at most {fields.MOST_INITIALS} characters. A year, as written, "
        f"is from {fields.YEARS[0]} to {fields.YEARS[-1]}.",
    }


def toml() -> str:
    """A league.toml with every default written out; it loads as it stands."""
    required = '[league]\nname = "…"\nseason = "2026"\ntime_zone = "America/Chicago"\n'
    accepted, _ = league.read_league(required)
    assert accepted is not None
    lines = []
    for section, model in _hints(league.Rules).items():
        lines += ["", f"[{section}]"]
        values = accepted.data if section == "league" else accepted.data[section]
        for key, hint in _hints(model).items():
            words = _KEY_WORDS.get(key) or _key_type(hint)
            stored = f"{key.removesuffix('_lb')}_clb" if key.endswith("_lb") else key
            if stored in values:
                given = f"{key} = {_toml_value(key, values[stored])}"
                lines.append(f"{given:<39} # {words}")
            else:  # an alternative to another key
                lines.append(f"# {key} = {_KEY_WORDS[key]}")
    return "\n".join(lines[1:]) + "\n"


def league_keys() -> list[str]:
    """Every key of league.toml."""
    return [key for model in _hints(league.Rules).values() for key in _hints(model)]


def _toml_value(key: str, value: Any) -> str:
    if key.endswith("_lb"):
        return str(value / 100)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(_toml_value('', item) for item in value)}]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def _key_type(hint: Any) -> str:
    for known, words in _KEY_TYPES:
        if hint == known:
            return words
    if words := _words(hint):
        return words
    if get_origin(hint) is Annotated:
        bounds = {type(bound).__name__: bound for bound in get_args(hint)[1].metadata}
        return f"a whole number, {bounds['Ge'].ge:,} to {bounds['Le'].le:,}"
    return _key_type(_given(hint))


def _tables() -> str:
    rows = []
    for model in tables.TABLES:
        cells = []
        for name, hint in _hints(model).items():
            blank = " (may be blank)" if not model.model_fields[name].is_required() else ""
            cells.append(f"`{name}`: {_type(hint)}{blank}")
        rows.append([f"`{model.table}`", "; ".join(cells)])
    return table(["file", "columns"], rows)


def _columns() -> str:
    rows = []
    for column in fields.COLUMNS:
        uses = [hints[column] for hints in map(_hints, KINDS.values()) if column in hints]
        holds = dict.fromkeys(map(_type, uses)) or {"one of the kinds": None}
        rows.append([f"`{column}`", " or ".join(holds)])
    return table(["column", "holds"], rows)


def _kinds() -> str:
    rows = []
    for kind, model in KINDS.items():
        needs: list[str] = []
        may: list[str] = []
        for column, info in model.model_fields.items():
            if column in EVERY_KIND or (column in WHO and issubclass(model, OfPlayer | MayConcern)):
                continue
            (needs if info.is_required() else may).append(column)
        if issubclass(model, OfPlayer):
            needs.insert(2, "*who*")
        elif issubclass(model, MayConcern):
            may.append("*who*")
        told = ", ".join([*needs, *(f"({column})" for column in may)])
        rows.append([f"`{kind}`", told, "; ".join(_vocabularies(model)), _says(model)])
    return table(["kind", "needs (and may have)", "words", "says"], rows)


def _vocabularies(model: type[Statement]) -> Iterator[str]:
    for column, hint in _hints(model).items():
        if _given(hint) != fields.Role and (words := _words(_given(hint))):
            yield f"{column}: {words}"


def _personal() -> str:
    free = [kind for kind, model in KINDS.items() if "reason" in model.personal]
    return "`name`, `note`, and the `reason` of " + ", ".join(f"`{kind}`" for kind in free) + "."


def _says(model: type[BaseModel]) -> str:
    return " ".join((inspect.getdoc(model) or "").split("\n\n")[0].split())


def _type(hint: Any) -> str:
    """What a cell holds; words of a fixed vocabulary stand with the kind."""
    words = (words for known, words in _TYPES if _given(hint) == known)
    return next(words, "one of the kind's words")


def _words(hint: Any) -> str:
    if get_origin(hint) is not Literal:
        return ""
    return ", ".join(str(word) for word in get_args(hint))


def _given(hint: Any) -> Any:
    """The type without None."""
    if get_origin(hint) in (Union, UnionType):
        (hint,) = (one for one in get_args(hint) if one is not type(None))
    return hint


def _hints(model: Any) -> dict[str, Any]:
    hints = get_type_hints(model, include_extras=True)
    return {name: hints[name] for name in model.model_fields}
