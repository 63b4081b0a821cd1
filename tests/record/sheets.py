"""Spreadsheets made in a test: workbooks and CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import openpyxl

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
