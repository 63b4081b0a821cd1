"""Read the rows of the event table page by page if the tree above its pages is damaged.

SQLite's file format: https://www.sqlite.org/fileformat2.html, sections 1.6 (pages of a tree) and
2.1 (records). Pages of other tables and damaged pages have no row of this form.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

from ledger.chain.hashing import HASH_BYTES

_LEAF = 0x0D
_HEADER = 8
_FIXED = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


def rows_of_event(connection: sqlite3.Connection, width: int) -> Iterator[list[Any]]:
    """Yield each row of `width` values that has an event's form, its position first."""
    image = connection.serialize(name="main")
    size = int(connection.execute("pragma main.page_size").fetchone()[0])
    pages = [image[at : at + size] for at in range(0, len(image), size)]
    usable = size - image[20]
    for number, page in enumerate(pages):
        head = 100 if number == 0 else 0
        if page[head] != _LEAF:
            continue
        for cell in range(int.from_bytes(page[head + 3 : head + 5])):
            at = head + _HEADER + 2 * cell
            try:
                row = _row(pages, page, int.from_bytes(page[at : at + 2]), usable)
            except (IndexError, ValueError):
                continue
            if len(row) == width and _is_event(row):
                yield row


def _is_event(row: list[Any]) -> bool:
    kinds = [type(value) for value in row[:6]]
    hashes = [value for value in row[3:5] if isinstance(value, bytes)]
    return kinds == [int, str, int, bytes, bytes, str] and {*map(len, hashes)} == {HASH_BYTES}


def _row(pages: list[bytes], page: bytes, at: int, usable: int) -> list[Any]:
    length, at = _varint(page, at)
    number, at = _varint(page, at)
    record = _payload(pages, page, at, length, usable)
    end, at = _varint(record, 0)
    types, values = [], []
    while at < end:
        kind, at = _varint(record, at)
        types.append(kind)
    for kind in types:
        width = _FIXED.get(kind, 0) if kind < 12 else (kind - 12) // 2
        part = record[at : at + width]
        if len(part) != width:
            raise ValueError("cut short")
        values.append(_value(kind, part))
        at += width
    return [number, *values[1:]]


def _value(kind: int, part: bytes) -> Any:
    if kind in _FIXED:
        return int.from_bytes(part, signed=True)
    if kind >= 12:
        return part.decode() if kind % 2 else part
    return {8: 0, 9: 1}.get(kind)


def _payload(pages: list[bytes], page: bytes, at: int, length: int, usable: int) -> bytes:
    """Return a cell's bytes, overflow pages included (section 1.6: X, M and K)."""
    if length <= usable - 35:
        return page[at : at + length]
    if length > usable * len(pages):
        raise ValueError("longer than the file")
    least = (usable - 12) * 32 // 255 - 23
    here = least + (length - least) % (usable - 4)
    here = least if here > usable - 35 else here
    payload = page[at : at + here]
    following = int.from_bytes(page[at + here : at + here + 4])
    while len(payload) < length and 0 < following <= len(pages):
        more = pages[following - 1]
        payload += more[4 : 4 + min(usable - 4, length - len(payload))]
        following = int.from_bytes(more[:4])
    if len(payload) < length:
        raise ValueError("cut short")
    return payload


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for _ in range(8):
        byte = data[at]
        at += 1
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at
    return value << 8 | data[at], at + 1
