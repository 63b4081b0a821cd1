"""What the page may send, as OpenAPI 3.1: made of the models that the server itself reads with.

An act's entries are texts, as in a day file; what each kind of statement takes is made of its
model (`ledger.record.statements`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from pydantic import BaseModel

from ledger.field.bodies import (
    LONGEST_TEXT,
    OWN_COLUMNS,
    Act,
    Confirm,
    ConfirmPhone,
    DayAsked,
    GameAsked,
    HeadsAsked,
    Holding,
    NewHere,
    OfficialAsked,
    Phone,
    Revoke,
    SignIn,
    SignOut,
    Witness,
)
from ledger.field.guard import TOKEN
from ledger.field.ink import Ink
from ledger.field.rights import CALLS
from ledger.field.signing import Sign
from ledger.record.statements import KINDS

Schema = dict[str, Any]

BODIES: Mapping[str, type[BaseModel]] = {
    "POST /api/sign-in": SignIn,
    "POST /api/new-here": NewHere,
    "POST /api/confirm": Confirm,
    "POST /api/sign-out": SignOut,
    "POST /api/sessions/revoke": Revoke,
    "POST /api/acts": Act,
    "POST /api/devices": Holding,
    "POST /api/games/{game}/teams/{team}/sign": Sign,
    "POST /api/games/{game}/teams/{team}/ink": Ink,
    "POST /api/phones": Phone,
    "POST /api/phones/confirm": ConfirmPhone,
    "POST /api/signatures/{event}/witness": Witness,
}
QUERIES: Mapping[str, type[BaseModel]] = {
    "GET /api/day": DayAsked,
    "GET /api/games/{game}": GameAsked,
    "GET /api/phones/mine": OfficialAsked,
    "GET /api/heads": HeadsAsked,
    "GET /api/signatures/{event}": HeadsAsked,
}
REFUSED = (400, 401, 403, 404, 409, 413, 415, 421, 422, 429, 503)
_REF = "#/components/schemas/{model}"
_STREAMS = ("GET /api/news",)
_DIGITS, _POUNDS = r"^[0-9]{1,9}$", r"^[0-9]{1,7}(\.[0-9]{1,2})?$"
_CLOSED_OUT = ("countersign", "season_close")


@cache
def schema_of_api() -> Schema:
    """The whole document."""
    paths: dict[str, Schema] = {}
    for call in CALLS:
        method, path = call.split(" ")
        if path.startswith("/api/"):
            paths.setdefault(path, {})[method.lower()] = _operation(call, path)
    schemas = {"Error": _ERROR, "Entry": {"anyOf": [_entry(kind) for kind in _kinds()]}}
    for model in BODIES.values():
        schemas |= _models(model)
    schemas["Act"]["properties"]["entries"]["items"] = {"$ref": _REF.format(model="Entry")}
    return {
        "openapi": "3.1.0",
        "info": {"title": "weighbook", "version": "1"},
        "paths": paths,
        "components": {"schemas": schemas},
    }


def _operation(call: str, path: str) -> Schema:
    names = re.findall(r"\{(\w+)\}", path)
    parameters = [_parameter(name, "path", _TEXT | {"maxLength": 64}) for name in names]
    if call in QUERIES:
        asked = QUERIES[call].model_json_schema()["properties"]
        parameters += [_parameter(name, "query", one) for name, one in asked.items()]
    told = "text/event-stream" if call in _STREAMS else "application/json"
    done = {"description": "Done", "content": {told: {"schema": {}}}}
    found: Schema = {
        "parameters": parameters,
        "responses": {"200": done, "201": done} | {str(status): _REFUSED for status in REFUSED},
    }
    if call in BODIES:
        found["parameters"].append(_parameter(TOKEN, "header", _TEXT))
        schema = {"$ref": _REF.format(model=BODIES[call].__name__)}
        content = {"application/json": {"schema": schema}}
        found["requestBody"] = {"required": True, "content": content}
    return found


def _parameter(name: str, where: str, schema: Schema) -> Schema:
    is_needed = where != "query"
    return {"name": name, "in": where, "required": is_needed, "schema": schema}


def _models(model: type[BaseModel]) -> dict[str, Schema]:
    made = model.model_json_schema(ref_template=_REF)
    inner = made.pop("$defs", {})
    return {model.__name__: _closed(made), **inner}


def _closed(schema: Any) -> Any:
    """The same, without keys of other forms in an object whose keys have a form."""
    if isinstance(schema, list):
        return [_closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: _closed(value) for key, value in schema.items()}
    return found | ({"additionalProperties": False} if "patternProperties" in found else {})


def _kinds() -> list[str]:
    return [kind for kind in KINDS if kind not in _CLOSED_OUT]


def _entry(kind: str) -> Schema:
    """What an entry of this kind takes: its model's columns, each as a text."""
    model = KINDS[kind].model_json_schema()
    given = model["properties"]
    properties = {name: _cell(given[name]) for name in OWN_COLUMNS if name in given}
    needed = {"ref", *model.get("required", ())} & set(OWN_COLUMNS) - {"at"}
    return {
        "type": "object",
        "title": kind,
        "properties": {"kind": {"const": kind}, **properties},
        "required": ["kind", *sorted(needed)],
        "additionalProperties": False,
    }


def _cell(column: Schema) -> Schema:
    options = [one for one in column.get("anyOf", [column]) if one.get("type") != "null"]
    (one,) = options
    if "enum" in one or "const" in one:
        return {"enum": [str(value) for value in one.get("enum", [one.get("const")])]}
    if one["type"] == "integer":
        return {"type": "string", "pattern": _POUNDS if "exclusiveMinimum" in one else _DIGITS}
    return {"type": "string", "maxLength": LONGEST_TEXT}


_TEXT: Schema = {"type": "string", "minLength": 1}
_ERROR: Schema = {
    "type": "object",
    "properties": {
        "error": {
            "type": "object",
            "properties": {"code": _TEXT, "message": _TEXT, "hint": _TEXT},
            "required": ["code", "message"],
        }
    },
    "required": ["error"],
}
_REFUSED: Schema = {
    "description": "Refused",
    "content": {"application/json": {"schema": {"$ref": _REF.format(model="Error")}}},
}
