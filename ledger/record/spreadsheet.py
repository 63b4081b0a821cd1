"""Read a spreadsheet as rows of text: an .xlsx workbook, or CSV with any separator.

No formula is run: a cell has the result that was saved with it. A formula without a saved result
is blank, and `uncomputed` names it.
"""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from ledger.errors import InputError
from ledger.record.reading import shown

MAX_BYTES = 100 << 20
"""Of a file, and of a workbook's parts when unpacked: a bomb of a few kB unpacks to gigabytes."""
MAX_ROWS = 100_000
MAX_COLUMNS = 256
SEPARATORS = ",;\t|"
_WORKBOOK = b"PK\x03\x04"
_OLD_OR_SEALED = b"\xd0\xcf\x11\xe0"
"""The compound file of .xls; a workbook with a password is wrapped in one, too."""
_SAVE_AS = "Open it in a spreadsheet program and save it as .xlsx or CSV, without a password."
_SEPARATOR_LINE = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


@dataclass(frozen=True)
class SheetRow:
    """A row with something in it: its number as the spreadsheet counts, and its cells."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """A sheet's rows. `name` is "" for CSV; `uncomputed` are (row, column from 0)."""

    file: str
    name: str
    rows: tuple[SheetRow, ...]
    uncomputed: frozenset[tuple[int, int]] = frozenset()

    @property
    def title(self) -> str:
        """ "roster.xlsx, sheet Newts"."""
        return f"{self.file}, sheet {self.name}" if self.name else self.file

    @property
    def width(self) -> int:
        return max((len(row.cells) for row in self.rows), default=0)


def read_sheets(path: Path) -> list[Sheet]:
    """The sheets of a spreadsheet that hold anything; InputError if it cannot be read."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise _too_large(path)
        data = path.read_bytes()
    except OSError as error:
        hint = "Give a spreadsheet (.xlsx or CSV) that you may read."
        raise InputError(f"{path}: cannot be read: {error.strerror}", hint=hint) from error
    if data.startswith(_OLD_OR_SEALED):
        what = "is an older kind of spreadsheet, or has a password"
        raise InputError(f"{path.name} {what}", hint=_SAVE_AS)
    sheets = _workbook(path, data) if data.startswith(_WORKBOOK) else [_csv(path, data)]
    return [sheet for sheet in sheets if sheet.rows]


def column_letter(index: int) -> str:
    """The letter of a column, counted from 0.

    >>> column_letter(0), column_letter(27)
    ('A', 'AB')
    """
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _workbook(path: Path, data: bytes) -> list[Sheet]:
    import openpyxl

    def opened(data_only: bool) -> Any:
        return openpyxl.load_workbook(
            io.BytesIO(data), read_only=True, data_only=data_only, keep_links=False
        )

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            if sum(part.file_size for part in parts.infolist()) > MAX_BYTES:
                raise _too_large(path)
        with warnings.catch_warnings():  # about styles and extensions, which nothing here reads
            warnings.simplefilter("ignore")
            values, formulas = opened(True), opened(False)
            beside = {sheet.title: sheet for sheet in formulas.worksheets}
            return [_sheet(path, sheet, beside[sheet.title]) for sheet in values.worksheets]
    except InputError:
        raise
    except Exception as error:  # openpyxl raises whatever a damaged part makes Python raise
        message = f"{path.name} cannot be read as a spreadsheet ({type(error).__name__})"
        raise InputError(message, hint=_SAVE_AS) from error


def _sheet(path: Path, values: Any, formulas: Any) -> Sheet:
    rows = _rows(path, _grid(path, values, lambda cell: _text(cell.value)))
    held = {row.number: row.cells for row in rows}
    uncomputed = {
        (number, column)
        for number, cells in _grid(path, formulas, lambda cell: cell.data_type == "f")
        for column, is_formula in enumerate(cells)
        if is_formula and not "".join(held.get(number, ())[column : column + 1])
    }
    return Sheet(path.name, values.title, rows, frozenset(uncomputed))


def _grid(
    path: Path, sheet: Any, read: Callable[[Any], Any]
) -> Iterator[tuple[int, tuple[Any, ...]]]:
    """The rows of a worksheet with a cell in them, by number."""
    sheet.reset_dimensions()  # what the file claims may be wrong
    for number, cells in enumerate(sheet.iter_rows(), 1):
        if number > 1 << 20:
            raise _too_large(path)
        if cells:
            yield number, tuple(map(read, cells))


def _csv(path: Path, data: bytes) -> Sheet:
    text = _decoded(path, data)
    given = _SEPARATOR_LINE.match(text)
    body = text[given.end() :] if given else text
    separator = given[1] if given else _likely_separator(body)
    try:
        reader = csv.reader(io.StringIO(body, newline=""), delimiter=separator)
        rows = []
        begins = 2 if given else 1
        for cells in reader:
            rows.append((begins, tuple(map(_text, cells))))
            begins = reader.line_num + (2 if given else 1)
        return Sheet(path.name, "", _rows(path, rows))
    except csv.Error as error:
        raise InputError(f"{path.name} cannot be read as CSV ({error})", hint=_SAVE_AS) from error


def _decoded(path: Path, data: bytes) -> str:
    """UTF-8, UTF-16 with its mark, or what a spreadsheet on Windows calls CSV."""
    utf_16 = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if utf_16 else ("utf-8-sig", "cp1252"):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise InputError(f"{path.name} is neither a spreadsheet nor text", hint=_SAVE_AS)


def _likely_separator(text: str) -> str:
    """The separator that most lines of the beginning hold."""
    lines = text[:20_000].splitlines()
    return max(SEPARATORS, key=lambda one: sum(one in line for line in lines))


def _rows(path: Path, grid: Iterable[tuple[int, tuple[str, ...]]]) -> tuple[SheetRow, ...]:
    rows: list[SheetRow] = []
    for number, cells in grid:
        while cells and not cells[-1]:
            cells = cells[:-1]
        if len(cells) > MAX_COLUMNS or len(rows) >= MAX_ROWS:
            raise _too_large(path)
        if cells:
            rows.append(SheetRow(number, cells))
    return tuple(rows)


def _text(value: Any) -> str:
    """A cell as text on one line, without control characters."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, datetime) and value.time() == time():
        value = value.date()
    text = value.isoformat() if isinstance(value, date | time) else str(value)
    plain = "".join(" " if ord(c) < 32 or ord(c) == 127 else c for c in text)
    # A workbook can spell half of a character pair, which no file can hold.
    return " ".join(plain.encode("utf-8", "replace").decode().split())


def _too_large(path: Path) -> InputError:
    message = f"{shown(path.name)} is too large for a roster"
    return InputError(message, hint="Copy the roster into a new spreadsheet, and give that one.")
