"""Step 2, the quick way: numbers in order, bytes that are canonical events, columns that match.

It checks whole columns of a few rows at a time; see `ledger.audit.quick`. This is a second reading
of the form of events, beside `ledger.chain.event.parse_event`.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import accumulate, pairwise
from operator import itemgetter
from typing import Any

import orjson

from ledger.audit.links import SAME, subject_key
from ledger.audit.rows import RawEvent, fetch_few, have_type
from ledger.chain.canonical import EXACT_INTEGERS
from ledger.chain.event import VERSION

_TEXTS = ("chain", "prev", "salt", "kind", "recorded")
_OPTIONAL = ("at", "entered", "by", "game", "team", "player")
_REQUIRED: dict[str, type] = dict.fromkeys(_TEXTS, str) | {"v": int, "seq": int, "data": dict}
_TYPES = _REQUIRED | dict.fromkeys(_OPTIONAL, str)
_SALT_LENGTH = 22
_SALTS = re.compile(r"[A-Za-z0-9_-]{22}(?:\n[A-Za-z0-9_-]{22})*")
_TIME = b"0000-00-00T00:00:00.000Z"
_DIGITS = bytes.maketrans(b"123456789", b"000000000")
_CONTAINERS = frozenset({dict, list})


@dataclass
class Clock:
    """A chain's rows in a range: its first number, its count, its first and last `recorded`.

    `back` has the numbers where `recorded` went back. `top` and `latest` are the column `clock` of
    the first and last row: the latest `recorded` so far. Rows before the range are unknown.
    """

    seq: int = 0
    count: int = 0
    first: str = ""
    last: str = ""
    top: str = ""
    latest: str = ""
    back: list[int] = field(default_factory=list)

    def follow(self, rows: RawEvent) -> bool:
        """Take the next rows; return whether their numbers and clocks continue the range."""
        seqs, recorded = rows.seq, rows.recorded
        due = self.seq + self.count
        times = [self.last, *recorded]
        if times != sorted(times):
            pairs = zip(seqs, pairwise(times), strict=True)
            self.back += [seq for seq, (one, other) in pairs if other < one]
        *clocks, latest = accumulate(recorded, max, initial=self.latest)
        are_right: bool = rows.clock == (*clocks[1:], latest)
        self.last, self.latest = recorded[-1], latest
        self.count += len(seqs)
        return are_right and tuple(seqs) == tuple(range(due, due + len(seqs)))


def prove_columns(
    connection: sqlite3.Connection, first: int, last: int, on_step: Callable[[int], object]
) -> dict[str, Clock] | None:
    """Return each chain's clock in the rows at positions `first` to `last`.

    Return None if a row is missing, its bytes are not an event, or a column does not match.
    """
    clocks: dict[str, Clock] = {}
    position = first
    for rows in fetch_few(connection, ", ".join(RawEvent._fields), first, last):
        cells = _cells(rows)
        whole = (
            cells.position == tuple(range(position, position + len(rows)))
            and have_type(cells.position, int)
            and have_type(cells.seq, int)
            and have_type(cells.prev, bytes)
            and have_type(cells.body, str)
            and have_type(cells.clock, str)
            and bytes_agree(cells, [body.encode() for body in cells.body])
        )
        if not whole:
            return None
        chains = set(cells.chain)
        for chain in chains:
            own = cells if len(chains) == 1 else _cells(row for row in rows if row[1] == chain)
            begun = Clock(own.seq[0], 0, own.recorded[0], own.recorded[0], own.clock[0])
            begun.latest = begun.top
            if not clocks.setdefault(chain, begun).follow(own):
                return None
        position += len(rows)
        on_step(len(rows))
    return clocks if position == last + 1 else None


def _cells(rows: Iterable[Any]) -> RawEvent:
    """Return the rows' values column by column."""
    return RawEvent._make(zip(*rows, strict=True))


def bytes_agree(cells: RawEvent, data: Sequence[bytes]) -> bool:
    """Whether `data`, the bytes of rows, are events that match the columns in `cells`."""
    text = b",".join(data)
    try:
        events = list(map(orjson.loads, data))
        # Equal as a whole means equal one by one: a JSON object ends at its last bracket, so no
        # object's text is the beginning of another's.
        canonical = orjson.dumps(events, option=orjson.OPT_SORT_KEYS) == b"[" + text + b"]"
    except (orjson.JSONDecodeError, orjson.JSONEncodeError):
        return False
    return (
        canonical
        and have_type(events, dict)
        and all(_is_form(*form) for form in {_form(event) for event in events})
        and _are_formed(events)
        and _are_exact([event["data"] for event in events], ascii_only=text.isascii())
        and _is_copied(cells, events)
    )


def _form(event: dict[str, Any]) -> tuple[tuple[str, ...], tuple[type, ...]]:
    return tuple(event), tuple(map(type, event.values()))


@cache
def _is_form(keys: tuple[str, ...], types: tuple[type, ...]) -> bool:
    return _REQUIRED.keys() <= set(keys) <= _TYPES.keys() and all(
        _TYPES[key] is kind for key, kind in zip(keys, types, strict=True)
    )


def _are_formed(events: Sequence[dict[str, Any]]) -> bool:
    """Whether versions, salts and times have the right form."""
    times = [event["recorded"] for event in events]
    times += [event["at"] for event in events if "at" in event]
    times += [event["entered"] for event in events if "entered" in event]
    forms = "\n".join(times).encode().translate(_DIGITS)
    salts = "\n".join([event["salt"] for event in events])
    return (
        forms == b"\n".join([_TIME] * len(times))
        # Trap: a salt with a line end in it looks like two; count them.
        and len(salts) == (_SALT_LENGTH + 1) * len(events) - 1
        and _SALTS.fullmatch(salts) is not None
        and [event["v"] for event in events] == [VERSION] * len(events)
    )


def _is_copied(cells: RawEvent, events: Sequence[dict[str, Any]]) -> bool:
    """Whether every column that copies part of the bytes matches them."""
    due: dict[str, Iterable[Any]] = {
        "ref": [event["data"].get("ref") for event in events],
        "subject": [
            event["data"].get(subject_key(event["kind"], "at" in event)) for event in events
        ],
    }
    for name in SAME:
        values = map(itemgetter(name), events)
        due[name] = values if name in _REQUIRED else [event.get(name) for event in events]
    return [event["prev"] for event in events] == [prev.hex() for prev in cells.prev] and all(
        getattr(cells, name) == tuple(values) for name, values in due.items()
    )


def _are_exact(values: Sequence[Any], *, ascii_only: bool) -> bool:
    """Whether these values have a canonical form (`ledger.chain.canonical`), level by level.

    `ascii_only` means that every key is known to be ASCII.
    """
    level = values
    while level:
        if not ascii_only and not all("".join(one).isascii() for one in level if type(one) is dict):
            return False
        items = [item for one in level for item in (one.values() if type(one) is dict else one)]
        types = set(map(type, items))
        whole = [item for item in items if type(item) is int] if int in types else [0]
        if float in types or not -EXACT_INTEGERS < min(whole) <= max(whole) < EXACT_INTEGERS:
            return False
        level = [item for item in items if type(item) in _CONTAINERS] if types & _CONTAINERS else []
    return True
