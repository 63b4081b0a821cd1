"""Canonical bytes: the JSON of RFC 8785, for the small part of JSON that an event needs.

orjson with sorted keys writes the bytes of RFC 8785 unless a value has a float, an integer of
2^53 or more, or a key that is not ASCII (sections 3.2.2.3 and 3.2.3). Those three are refused.

>>> canonical({"seq": 2, "data": {"value": "ok"}, "kind": "weigh"})
b'{"data":{"value":"ok"},"kind":"weigh","seq":2}'
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import orjson

from ledger.errors import InputError

EXACT_INTEGERS = 2**53


def canonical(value: Any) -> bytes:
    """Return the canonical bytes of dicts, lists, text, whole numbers, booleans and None.

    Raises InputError for any other type, an integer of 2^53 or more, a key that is not ASCII
    text, and text that is not Unicode scalar values.
    """
    try:
        _refuse(value)
        return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    except RecursionError:
        raise InputError("no canonical form: nested too deep") from None
    except orjson.JSONEncodeError as error:
        raise InputError(f"no canonical form: {error}") from error


def parse_canonical(data: bytes) -> dict[str, Any]:
    """Return the object whose canonical form is exactly `data`; InputError if there is none."""
    try:
        value = orjson.loads(data)
    except orjson.JSONDecodeError as error:
        raise InputError(f"not JSON: {error}") from error
    if not isinstance(value, dict) or canonical(value) != data:
        raise InputError("not a JSON object in canonical form (RFC 8785)")
    return value


def _refuse(value: Any) -> None:
    # No call for each text: this loop takes most of the time of a million events.
    items: Iterable[Any] = value if type(value) is list else (value,)
    if type(value) is dict:
        _refuse_keys(value)
        items = value.values()
    for item in items:
        kind = type(item)
        if kind is str or kind is bool or item is None:
            continue
        if kind is int:
            if not -EXACT_INTEGERS < item < EXACT_INTEGERS:
                raise InputError(f"no canonical form: the integer {item} is 2^53 or more")
        elif kind is dict or kind is list:
            _refuse(item)
        else:
            raise InputError(f"no canonical form for {kind.__name__}")


def _refuse_keys(value: dict[Any, Any]) -> None:
    try:
        if "".join(value).isascii():
            return
    except TypeError:
        pass
    key = next(key for key in value if type(key) is not str or not key.isascii())
    raise InputError(f"no canonical form: the key {key!r} is not ASCII text")
