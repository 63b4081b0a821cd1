"""An event: one accepted statement as canonical bytes, linked to the event before it.

The bytes are kept exactly as hashed. `salt` is 128 random bits, so that nobody can guess an
event that a proof shows only by its hash. What is not given is left out.

    {"at":…,"by":…,"chain":"office","data":{…},"entered":…,"game":…,"kind":"weigh","player":…,
     "prev":"<64 hex>","recorded":…,"salt":"<22 base64url>","seq":57,"team":…,"v":1}
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.chain.canonical import canonical, parse_canonical
from ledger.chain.disclosure import new_salt
from ledger.chain.hashing import HASH_BYTES, leaf_hash
from ledger.errors import InputError

VERSION = 1
"""What is written. `_LIFTS` has what is read."""
TIME_TEXT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
"""Fixed-width UTC text, so that the order of text is the order of time."""

_REQUIRED = {"v": int, "chain": str, "seq": int, "prev": str, "salt": str, "kind": str,
             "recorded": str, "data": dict}  # fmt: skip
_OPTIONAL = ("at", "entered", "by", "game", "team", "player")
_SALT = re.compile(r"[A-Za-z0-9_-]{22}")
_PREV = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Event:
    """A parsed event. Times are UTC text; `data` holds what its kind says."""

    chain: str
    seq: int
    prev: bytes
    salt: str
    kind: str
    recorded: str
    data: Mapping[str, Any]
    at: str | None = None
    entered: str | None = None
    by: str | None = None
    game: str | None = None
    team: str | None = None
    player: str | None = None

    @property
    def id(self) -> str:
        return f"{self.chain}:{self.seq}"


def place_of(event_id: str) -> tuple[str, int]:
    """Chain and sequence number of an event id."""
    chain, _, seq = event_id.rpartition(":")
    return chain, int(seq)


def make_event(
    body: Mapping[str, Any], *, chain: str, seq: int, prev: bytes, recorded: str
) -> tuple[bytes, bytes]:
    """Canonical bytes and hash of an event with this body (kind, data, at, entered, by, …)."""
    event = {
        "v": VERSION,
        "chain": chain,
        "seq": seq,
        "prev": prev.hex(),
        "recorded": recorded,
        "salt": new_salt(),
        **body,
    }
    if None in event.values():
        event = {key: value for key, value in event.items() if value is not None}
    data = canonical(event)
    return data, leaf_hash(data)


def _lifted(value: dict[str, Any]) -> dict[str, Any]:
    """The event in the form of VERSION, whichever of the known ones it was written in."""
    written = value.get("v")
    if type(written) is not int:
        raise InputError("event: v is missing or not int")
    if written not in _LIFTS:
        known = f"This weighbook reads versions up to {VERSION}. Install the newest one."
        raise InputError(f"event: version {written} is not known here", hint=known)
    return _LIFTS[written](value)


def _as_it_is(value: dict[str, Any]) -> dict[str, Any]:
    return value


_LIFTS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {1: _as_it_is}
"""By the version that an event was written in: what makes the newest version of it.

Bytes and hash stay as they are; only what is read from them is lifted. A new version of the form
is a new VERSION and a line here.
"""


def parse_event(data: bytes) -> Event:
    """The event that these bytes are; InputError when they are none, or not canonical."""
    value = _lifted(parse_canonical(data))
    for key, kind in _REQUIRED.items():
        if type(value.get(key)) is not kind:
            raise InputError(f"event: {key} is missing or not {kind.__name__}")
    for key in _OPTIONAL:
        if key in value and type(value[key]) is not str:
            raise InputError(f"event: {key} is not text")
    unknown = value.keys() - _REQUIRED.keys() - set(_OPTIONAL)
    if unknown:
        raise InputError(f"event: unknown key {min(unknown)!r}")
    del value["v"]
    if value["seq"] < 1 or not _PREV.fullmatch(value["prev"]) or not _SALT.fullmatch(value["salt"]):
        raise InputError("event: seq, prev or salt has not its form")
    times = (value.get(key) for key in ("at", "entered", "recorded"))
    if not all(time is None or TIME_TEXT.fullmatch(time) for time in times):
        raise InputError("event: a time is not fixed-width UTC text")
    prev = bytes.fromhex(value.pop("prev"))
    assert len(prev) == HASH_BYTES
    return Event(prev=prev, **value)
