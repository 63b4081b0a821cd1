"""An event: one accepted statement as canonical bytes, linked to the event before it.

The bytes are kept exactly as hashed. The 128 random bits of `salt` keep anyone from guessing an
event that a proof shows only by its hash. Keys without a value are left out.

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
from ledger.chain.hashing import leaf_hash
from ledger.errors import InputError

VERSION = 1
HELD = "device"
"""In the event of a key that a phone holds, and of a signature with one."""
"""The version that is written; `_LIFTS` has those that are read."""
TIME_TEXT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
"""Fixed-width UTC text: it sorts by time."""

_REQUIRED = {"v": int, "chain": str, "seq": int, "prev": str, "salt": str, "kind": str,
             "recorded": str, "data": dict}  # fmt: skip
_OPTIONAL = ("at", "entered", "by", "game", "team", "player")
_SALT = re.compile(r"[A-Za-z0-9_-]{22}")
_PREV = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Event:
    """A parsed event. Times are UTC text; `data` has the keys of its kind."""

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
    """Return chain and sequence number of an event id."""
    chain, _, seq = event_id.rpartition(":")
    return chain, int(seq)


def make_event(
    body: Mapping[str, Any], *, chain: str, seq: int, prev: bytes, recorded: str
) -> tuple[bytes, bytes]:
    """Return canonical bytes and hash of an event with this body (kind, data, at, by, …)."""
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


_LIFTS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {1: lambda value: value}
"""By version: the function that turns an event of it into the newest form. Stored bytes stay."""


def parse_event(data: bytes) -> Event:
    """Read an event from its canonical bytes; InputError for anything else."""
    value = parse_canonical(data)
    if type(written := value.get("v")) is int:
        if written not in _LIFTS:
            hint = f"This weighbook reads versions up to {VERSION}. Install the newest one."
            raise InputError(f"event: unknown version {written}", hint=hint)
        value = _LIFTS[written](value)
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
        raise InputError("event: seq, prev or salt has the wrong form")
    times = (value.get(key) for key in ("at", "entered", "recorded"))
    if not all(time is None or TIME_TEXT.fullmatch(time) for time in times):
        raise InputError("event: a time is not fixed-width UTC text")
    return Event(prev=bytes.fromhex(value.pop("prev")), **value)
