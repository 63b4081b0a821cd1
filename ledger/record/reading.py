"""Turn a line's cells into a statement, or into faults that say what to expect."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar, get_args
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from ledger.errors import Fault
from ledger.record.fields import COLUMNS, over_limit
from ledger.record.statements import KINDS, Statement
from ledger.suggest import did_you_mean

Model = TypeVar("Model", bound=BaseModel)
_RIGHT = {
    "int_type": "a whole number",
    "string_type": "text",
    "bool_type": "true or false",
    "list_type": "a list",
    "too_short": "a list with at least one item",
    "dict_type": "a table",
    "model_type": "a table",
    "decimal_type": "a number",
}
_BOUNDS = {
    "greater_than": "a number over {gt}",
    "greater_than_equal": "a number of {ge} or more",
    "less_than": "a number under {lt}",
    "less_than_equal": "a number of {le} or less",
}
_LONGEST_SHOWN = 64


@dataclass(frozen=True, order=True)
class Place:
    """Where something was read: file and first line of the record; both empty for live entry."""

    file: str = ""
    line: int = 0

    def fault(self, column: str, found: str, right: str) -> Fault:
        return Fault(self.file, self.line, column, found, right)


def entry_place(number: int, of: int) -> Place:
    """The place of a typed entry, counted from 1: "entry 2" where there are several."""
    return Place(f"entry {number}") if of > 1 else Place()


def shown(value: Any) -> str:
    """Show a value in an error: quoted, shortened, on one line, and printable."""
    text = str(value).lower() if isinstance(value, bool) else str(value)
    text = text if len(text) <= _LONGEST_SHOWN else f"{text[: _LONGEST_SHOWN - 1]}…"
    plain = "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
    return f"'{plain}'" if isinstance(value, str) else plain


def one_of(known: Iterable[str], text: str, right: str) -> str:
    """Return `right`, with "Did you mean …?" if an id is close."""
    meant = did_you_mean(text, known)
    return f"{right}. {meant}" if meant else right


def name_in_id(player: str, name: str) -> str:
    """A word of the name (three letters or more, any case) that the id contains, else ''."""
    words = re.findall(r"[^\W\d_]{3,}", name.casefold())
    return next((word for word in words if word in player.casefold()), "")


def name_in_id_fault(place: Place, player: str) -> Fault:
    right = "an id without any part of the child's name; ids can never be erased"
    return place.fault("player", shown(player), right)


def read_statement(
    cells: Mapping[str, str], local: ZoneInfo, place: Place
) -> tuple[Statement | None, list[Fault]]:
    """Build a new statement from non-empty cells, or return all their faults."""
    statement, faults = read_line(cells, local, place)
    if statement is not None:
        faults = limit_faults(cells, place)
    return (None if faults else statement), faults


def limit_faults(cells: Mapping[str, str], place: Place) -> list[Fault]:
    """Return the faults of readable cells that count only for new lines."""
    return [
        place.fault(column, shown(text), right)
        for column, text in cells.items()
        if (right := over_limit(column, text))
    ]


def read_line(
    cells: Mapping[str, str], local: ZoneInfo, place: Place
) -> tuple[Statement | None, list[Fault]]:
    """Build a statement from non-empty cells, or return all faults except `limit_faults`."""
    kind = cells.get("kind", "")
    if kind not in KINDS:
        found = shown(kind) if kind else "nothing"
        right = one_of(KINDS, kind, "a kind of entry; weighbook record --help lists them")
        return None, [place.fault("kind", found, right)]
    model = KINDS[kind]
    given: dict[str, Any] = {}
    faults: list[Fault] = []
    unread = set()
    for column, text in cells.items():
        if column == "kind":
            continue
        if column not in model.model_fields:
            uses = ", ".join(column for column in COLUMNS if column in model.model_fields)
            right = f"an empty cell; {kind} lines do not use this column. They use {uses}"
            faults.append(place.fault(column, shown(text), right))
            continue
        try:
            given[column] = COLUMNS[column](text, local)
        except ValueError as error:
            unread.add(column)
            faults.append(place.fault(column, shown(text), str(error)))
    if "entered" not in cells:
        given |= {"entered": given["at"]} if "at" in given else {}
        unread.add("entered")
    statement, more = build(model, given, place, cells, unread=unread)
    return (None if faults else statement), faults + more


def build(
    model: type[Model],
    given: Mapping[str, Any],
    place: Place,
    texts: Mapping[str, Any],
    *,
    unread: Collection[str] = (),
) -> tuple[Model | None, list[Fault]]:
    """A model of these values, or its faults.

    `texts` is what was found, as written. `unread` names columns that already have a fault;
    they get no second one.
    """
    try:
        return model(**given), []
    except ValidationError as error:
        return None, [
            _fault(detail, place, texts, model)
            for detail in error.errors()
            if not any(part in unread for part in detail["loc"] or (_misfit(detail), "number"))
        ]


def _fault(
    detail: ErrorDetails, place: Place, texts: Mapping[str, Any], model: type[BaseModel]
) -> Fault:
    if detail["type"] == "extra_forbidden":
        return _unknown_setting(detail, place, model)
    parts = [*detail["loc"], *filter(None, [_misfit(detail)])]
    column = ".".join(str(part) for part in parts)
    found = shown(texts[column]) if column in texts else _found(detail)
    return place.fault(column, found, _right(detail))


def _unknown_setting(detail: ErrorDetails, place: Place, model: type[BaseModel]) -> Fault:
    """The fault for a key that its table does not have; it names the keys there are."""
    *tables, key = detail["loc"]
    here: Any = model
    for part in tables:  # a list's items are all of one model
        here = here if isinstance(part, int) else _model_in(here.model_fields[part].annotation)
    known = [field.alias or name for name, field in here.model_fields.items()]
    of = f" of {'.'.join(map(str, tables))}" if tables else ""
    what = "setting" if tables else "section"
    column = ".".join(map(str, detail["loc"]))
    right = one_of(known, str(key), f"one of the {what}s{of}: {', '.join(known)}")
    return place.fault(column, f"an unknown {what}", right)


def _model_in(annotation: Any) -> Any:
    """The model of a table, or of the items of a list of tables."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(filter(None, map(_model_in, get_args(annotation))), None)


def _misfit(detail: ErrorDetails) -> str:
    """The column of `ledger.record.fields.misfit`; '' for the error of one field."""
    return str(detail["ctx"]["column"]) if detail["type"] == "misfit" else ""


def _found(detail: ErrorDetails) -> str:
    absent = detail["type"] == "missing" or detail["input"] is None
    given = detail["input"]
    if column := _misfit(detail):
        absent, given = column not in given, given.get(column)
    return "nothing" if absent else shown(given)


def _right(detail: ErrorDetails) -> str:
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "missing":
        return "a value"
    if kind == "literal_error":
        return f"one of {context['expected']}".replace("'", "")
    if kind in _BOUNDS:
        return _BOUNDS[kind].format(**context)
    return _RIGHT.get(kind, detail["msg"])
