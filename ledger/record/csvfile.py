"""A CSV file of the season folder: its records as cells, with the line each begins on.

Text is UTF-8 (a byte-order mark is accepted), RFC 4180 with LF or CRLF; blank lines are nothing.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Fault
from ledger.record.reading import Place, one_of, shown

MAX_FIELD_BYTES = 1 << 20
csv.field_size_limit(MAX_FIELD_BYTES)


@dataclass(frozen=True)
class Record:
    """One record: its number in the file from 1, the line it begins on, its non-empty cells."""

    number: int
    place: Place
    cells: dict[str, str]


def read_records(path: Path, name: str, columns: Sequence[str]) -> tuple[list[Record], list[Fault]]:
    """The records of a file under a header of these columns, in any order, or its faults."""
    data = path.read_bytes()
    place = Place(name)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"bytes that are not UTF-8 ({data[error.start]:#04x})"
        return [], [Place(name, line).fault("", found, "the file saved as UTF-8")]
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        return [], [Place(name, line).fault("", "a NUL character", "text without it")]
    rows = _rows(text, name)
    faults: list[Fault] = []
    header: list[str] | None = None
    records: list[Record] = []
    for row_place, row in rows:
        if isinstance(row, str):
            return [], [*faults, row_place.fault("", row, "a CSV record (RFC 4180)")]
        if not any(row):
            continue
        if header is None:
            header = row
            faults += _header_faults(row_place, row, columns)
            if faults:
                return [], faults
            continue
        if len(row) != len(header):
            found, right = f"{len(row)} fields", f"{len(header)} fields, as the header has"
            faults.append(row_place.fault("", found, right))
            continue
        cells = {column: cell for column, cell in zip(header, row, strict=True) if cell}
        large = [c for c, cell in cells.items() if len(cell.encode()) > MAX_FIELD_BYTES]
        faults += [row_place.fault(c, "more than 1 MiB", "a field of at most 1 MiB") for c in large]
        records.append(Record(len(records) + 1, row_place, cells))
    if header is None and data.strip() and not records:
        faults.append(place.fault("", "no header", f"a header line: {','.join(columns)}"))
    return records, faults


def _header_faults(place: Place, header: list[str], columns: Sequence[str]) -> list[Fault]:
    unknown = [column for column in header if column not in columns]
    twice = {column for column in header if header.count(column) > 1}
    right = f"one of the columns {', '.join(columns)}"
    faults = [
        place.fault(shown(column), "an unknown column", one_of(columns, column, right))
        for column in unknown
    ]
    return faults + [
        place.fault(column, "the column twice", "each column once") for column in sorted(twice)
    ]


def _rows(text: str, name: str) -> Iterator[tuple[Place, list[str] | str]]:
    """Rows with the line each begins on; a row that is no CSV ends it as a text that says why."""
    # Lines are cut at LF alone, so that a bare CR outside quotes is refused by the reader.
    reader = csv.reader(io.StringIO(text, newline="\n"), strict=True)
    begins = 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield Place(name, begins), f"no CSV ({error})"
            return
        yield Place(name, begins), row
        begins = reader.line_num + 1
