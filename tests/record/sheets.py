"""Spreadsheets made in a test: workbooks and CSV."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import openpyxl

_FIRST = "xl/worksheets/sheet1.xml"
Rows = Sequence[Sequence[Any]]


def write_workbook(path: Path, sheets: Mapping[str, Rows], merged: Sequence[str] = ()) -> Path:
    """A workbook with these sheets; the ranges in `merged` are merged on the first one."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for at, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                if value is not None:
                    sheet.cell(at, column, value)
    for cells in merged:
        book.worksheets[0].merge_cells(cells)
    book.save(path)
    return path


def write_csv(path: Path, rows: Rows, *, separator: str = ",", encoding: str = "utf-8") -> Path:
    """A CSV file as a spreadsheet program saves it."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator).writerows(rows)
    path.write_bytes(text.getvalue().encode(encoding))
    return path


def rewrite(path: Path, old: bytes, new: bytes) -> Path:
    """Exchange bytes of the workbook's first sheet, which other programs write differently."""
    sheet = first_sheet(path)
    assert old in sheet
    return with_first_sheet(path, sheet.replace(old, new))


def first_sheet(path: Path) -> bytes:
    """The markup of the workbook's first sheet."""
    with zipfile.ZipFile(path) as parts:
        return parts.read(_FIRST)


def with_first_sheet(path: Path, markup: bytes) -> Path:
    """The workbook with this markup for its first sheet."""
    with zipfile.ZipFile(path) as parts:
        held = {name: parts.read(name) for name in parts.namelist()}
    with zipfile.ZipFile(path, "w") as parts:
        for name, data in (held | {_FIRST: markup}).items():
            parts.writestr(name, data)
    return path
