"""Read a CSV file of the season folder: its records as cells, with each one's first line.

UTF-8 (byte-order mark allowed), RFC 4180 with LF or CRLF. Blank lines are skipped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from ledger.errors import Fault, count_of
from ledger.record.reading import Place, one_of, shown

MAX_FIELD_BYTES = 1 << 20
_SEPARATORS = {";": "';'", "\t": "tabs", "|": "'|'"}
_NO_TEXT = {
    b"\xff\xfe": "text in UTF-16",
    b"\xfe\xff": "text in UTF-16",
    b"PK\x03\x04": "a spreadsheet or another zipped file",
}
_QUOTED = re.compile(r'"([^"]*+(?:""[^"]*+)*+)"')
_FIELD = re.compile(rf'(?:{_QUOTED.pattern}|([^",\r\n]*))(,|\r?\n|\Z)')


@dataclass(frozen=True)
class Record:
    """One record: its number in the file from 1, the line it begins on, its non-empty cells."""

    number: int
    place: Place
    cells: dict[str, str]


class Read(NamedTuple):
    """A file's records and faults; `has_missed`: some records could not be told apart."""

    records: list[Record]
    faults: list[Fault]
    has_missed: bool


def read_records(path: Path, name: str, columns: Sequence[str]) -> Read:
    """Read a file's records and faults; its header names these columns, in any order."""
    text, faults = read_text(path, name)
    if faults:
        return Read([], faults, has_missed=True)
    if separator := _other_separator(text, columns):
        right = "columns separated by commas; save the file as CSV (comma, UTF-8)"
        fault = Place(name, 1).fault("", f"columns separated by {separator}", right)
        return Read([], [fault], has_missed=True)
    header: list[str] | None = None
    records: list[Record] = []
    has_missed = False
    for place, row in _rows(text, name):
        if isinstance(row, str):
            fault = place.fault("", row, "a valid CSV record (RFC 4180)")
            return Read([], [*faults, fault], has_missed=True)
        if not "".join(row).strip():
            continue
        if header is None:
            header = [_plain(heading, columns) for heading in row]
            faults += _respelled(place, row, header)
            if more := _header_faults(place, header, columns):
                return Read([], [*faults, *more], has_missed=True)
            continue
        if len(row) != len(header):
            right = f"{count_of(len(header), 'field')}, as in the header"
            faults.append(place.fault("", count_of(len(row), "field"), right))
            has_missed = True
            continue
        cells = {column: cell for column, cell in zip(header, row, strict=True) if cell}
        large = [c for c, cell in cells.items() if len(cell.encode()) > MAX_FIELD_BYTES]
        faults += [place.fault(c, "more than 1 MiB", "a field of at most 1 MiB") for c in large]
        records.append(Record(len(records) + 1, place, cells))
    return Read(records, faults, has_missed)


def read_text(path: Path, name: str) -> tuple[str, list[Fault]]:
    """Read a UTF-8 file's text, without its byte-order mark; or return the fault."""
    try:
        data = path.read_bytes()
    except OSError as error:
        found = f"a file that cannot be read ({error.strerror})"
        return "", [Place(name).fault("", found, "a file this program can read")]
    for begins, what in _NO_TEXT.items():
        if data.startswith(begins):
            return "", [
                Place(name).fault("", what, "the file saved as UTF-8 text (tables: as CSV)")
            ]
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"bytes that are not UTF-8 ({data[error.start]:#04x})"
        return "", [Place(name, line).fault("", found, "the file saved as UTF-8")]
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return "", [Place(name, line).fault("", "a NUL character", "text without it")]
    return text, []


def _other_separator(text: str, columns: Sequence[str]) -> str:
    """Name the header's separator if it is not a comma, else ""."""
    header = text.lstrip().partition("\n")[0]
    for separator, shown_as in _SEPARATORS.items():
        names = [name.strip(' "\r').casefold() for name in header.split(separator)]
        if len(names) > 1 and "," not in header and not {*columns}.isdisjoint(names):
            return shown_as
    return ""


def _plain(heading: str, columns: Sequence[str]) -> str:
    """The column that a heading means in other letters or with spaces; otherwise as it is."""
    plain = "_".join(re.split(r"[\s_-]+", heading.strip().casefold()))
    return plain if heading not in columns and plain in columns else heading


def _respelled(place: Place, row: Sequence[str], header: Sequence[str]) -> list[Fault]:
    """One fault for all headings that must be spelled otherwise; the file is read on by them."""
    pairs = [(was, now) for was, now in zip(row, header, strict=True) if was != now]
    if not pairs:
        return []
    found = (
        "the heading" + ("s " if len(pairs) > 1 else " ") + ", ".join(shown(w) for w, _ in pairs)
    )
    right = f"{', '.join(now for _, now in pairs)}: small letters, and _ for a space"
    return [place.fault("", found, right)]


def _header_faults(place: Place, header: list[str], columns: Sequence[str]) -> list[Fault]:
    unknown = [column for column in header if column not in columns]
    twice = {column for column in header if header.count(column) > 1}
    right = f"one of the columns {', '.join(columns)}"
    faults = [
        place.fault(shown(column), "an unknown column", one_of(columns, column, right))
        for column in unknown
    ]
    return faults + [
        place.fault(shown(column), "the column twice", "each column once")
        for column in sorted(twice - {*unknown})
    ]


def _rows(text: str, name: str) -> Iterator[tuple[Place, list[str] | str]]:
    """Yield rows, each with its first line; at bad CSV, yield the reason and stop.

    Rejected: `csv.reader`. Even its strict dialect allows a quote in an unquoted field and a CR at
    the end of the file; RFC 4180 (section 2, rules 1 and 5) does not.
    """
    begins = line = 1
    position = 0
    while position < len(text):
        row: list[str] = []
        more = True
        while more:
            field = _FIELD.match(text, position)
            if field is None:
                yield Place(name, begins), _why_no_field(text, position)
                return
            quoted, bare, end = field.groups()
            row.append(bare if quoted is None else quoted.replace('""', '"'))
            line += text.count("\n", position, field.end())
            position = field.end()
            more = end == ","
        yield Place(name, begins), row
        begins = line


def _why_no_field(text: str, position: int) -> str:
    if text[position] != '"':
        return "a quote or carriage return in an unquoted field"
    closed = _QUOTED.match(text, position)
    return "text after the closing quote of a field" if closed else "a quote that is never closed"
