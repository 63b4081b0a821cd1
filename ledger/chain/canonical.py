"""Canonical bytes: the JSON of RFC 8785, for the small part of JSON that an event needs.

orjson with sorted keys writes the bytes of RFC 8785 as long as a value holds no float, no
integer of 2^53 or more, and only ASCII keys (section 3.2.2.3 and 3.2.3: number form, UTF-16
order of keys). So those three are refused, and the fast writer does the rest; the tests hold
it against the `rfc8785` package.

>>> canonical({"seq": 2, "data": {"value": "ok"}, "kind": "weigh"})
b'{"data":{"value":"ok"},"kind":"weigh","seq":2}'
"""

from __future__ import annotations

from typing import Any

import orjson

from ledger.errors import InputError

EXACT_INTEGERS = 2**53


def canonical(value: Any) -> bytes:
    """The canonical bytes of `value`: dicts, lists, text, whole numbers, booleans and None.

    Raises InputError for a float, an integer of 2^53 or more, a key that is not ASCII text,
    text that is not Unicode scalar values, and any other type.
    """
    try:
        _refuse(value)
        return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    except RecursionError:
        raise InputError("no canonical form: nested too deep") from None
    except orjson.JSONEncodeError as error:
        raise InputError(f"no canonical form: {error}") from error


def parse_canonical(data: bytes) -> dict[str, Any]:
    """The object whose canonical form is exactly `data`.

    Raises InputError when the bytes are no JSON object or not in canonical form.
    """
    try:
        value = orjson.loads(data)
    except orjson.JSONDecodeError as error:
        raise InputError(f"not JSON: {error}") from error
    if not isinstance(value, dict) or canonical(value) != data:
        raise InputError("not a JSON object in canonical form (RFC 8785)")
    return value


def _refuse(value: Any) -> None:
    # Text and its keys are looked at without a call each: of a million events this is the most.
    kind = type(value)
    if kind is dict:
        _refuse_keys(value)
        items = value.values()
    elif kind is list:
        items = value
    else:
        items = (value,)
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
