"""The sheet into which people type a weigh-in that was kept on paper: a line for each player.

Its columns are those of the printed empty list. Lines beside the players have a label with a space
in it, which no player's id has. A filled-in sheet comes back as .xlsx or CSV, as any spreadsheet
program saves it, with columns and lines in any order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.errors import Fault
from ledger.record.reading import Place, one_of, shown
from ledger.record.spreadsheet import Sheet
from ledger.suggest import folded

COLUMNS = {
    "game": "Game",
    "team": "Team",
    "line": "Line",
    "number": "No.",
    "name": "Name",
    "ok": "ok",
    "over": "over",
    "no_scale": "no scale",
    "taped": "taped",
    "late": "late",
    "absent": "absent",
    "injured": "injured",
    "gear": "gear",
    "other": "other",
    "book": "Book",
    "initials": "Initials",
    "time": "Time",
    "reads": "Reads lb",
    "limit": "Limit lb",
    "by": "By",
    "note": "Note",
}
"""The heading of each column, in the order in which a new sheet has them."""
BOXES = ("ok", "over", "no_scale", "taped", "late", "absent", "injured", "gear", "other")
GIVEN = ("game", "team", "line", "number", "name")
"""Filled in by the program; a line with nothing else says nothing."""
AT_SCALE, CHECK, OUT = "at the scale", "scale check", "scale out of use"
CLOSED, FIRST_HALF, SECOND_HALF = "weigh-in closed", "first half ended", "second half ended"
BEFORE = (CHECK,)
AFTER = (OUT, CLOSED, FIRST_HALF, SECOND_HALF)
LABELS = (AT_SCALE, *BEFORE, *AFTER)
_MARKED = {"x", "1", "y", "yes", "true", "✓", "✔", "☑", "☒"}
_EMPTY = {"", "0", "n", "no", "false", "-", "–"}


@dataclass(frozen=True)
class SheetLine:
    """A line: its place and its cells by column, "" for an empty one."""

    place: Place
    cells: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")

    @property
    def label(self) -> str:
        """The label of a line that is not a player's, else ""."""
        text = self["line"].casefold()
        return text if text in LABELS else ""

    @property
    def is_filled(self) -> bool:
        """Whether someone typed into it: marks, or a number or name where no player stands."""
        is_new = not self["line"] and bool(self["number"] or self["name"])
        return is_new or any(text for column, text in self.cells.items() if column not in GIVEN)

    def marked(self, column: str) -> bool:
        """Whether a box has a mark in it; `faults` has refused what is neither."""
        return self[column].casefold() not in _EMPTY

    def fault(self, column: str, found: str, right: str) -> Fault:
        return self.place.fault(COLUMNS[column], found, right)

    def faults(self) -> Iterator[Fault]:
        """What no line may hold. A box's text is not repeated: it may be a weight."""
        line = self["line"]
        if " " in line and not self.label:
            yield self.fault("line", shown(line), one_of(LABELS, line, f"one of {_listed()}"))
        for column in BOXES:
            text = self[column].casefold()
            if text not in _MARKED | _EMPTY | {COLUMNS[column]}:
                yield self.fault(column, "something other than a mark", "x, or an empty cell")


def read_sheet(sheet: Sheet) -> tuple[list[SheetLine], list[Fault]]:
    """The lines of a sheet that say something or name a player, and every fault."""
    heading, *rows = sheet.rows
    place = Place(sheet.title, heading.number)
    columns = [_column(text) for text in heading.cells]
    faults = [
        place.fault(shown(text), "an unknown column", one_of(headings, text, _right()))
        for text, column in zip(heading.cells, columns, strict=True)
        if text and not column
        for headings in [COLUMNS.values()]
    ]
    faults += [
        place.fault(COLUMNS[column], count, "this column once, as in a new sheet")
        for column in COLUMNS
        if (count := _wrong_count(column, columns))
    ]
    if faults:
        return [], faults
    lines = []
    for row in rows:
        cells = {
            column: text
            for column, text in zip(columns, row.cells, strict=False)
            if column and text
        }
        line = SheetLine(Place(sheet.title, row.number), cells)
        beyond = "".join(row.cells[len(columns) :])
        if beyond:
            faults.append(line.place.fault("", shown(beyond), "nothing right of the last column"))
        if cells:
            lines.append(line)
            faults += line.faults()
    return lines, faults


def _wrong_count(column: str, columns: list[str]) -> str:
    count = columns.count(column)
    if not count and column in ("game", "team"):
        return "no such column"
    return "the column twice" if count > 1 else ""


def _column(heading: str) -> str:
    return next((one for one, text in COLUMNS.items() if folded(text) == folded(heading)), "")


def _right() -> str:
    return f"one of the columns {', '.join(COLUMNS.values())}"


def _listed() -> str:
    return ", ".join(LABELS)
