"""Where a roster stands on a sheet: its titles, its heading, its columns.

A sheet may hold one roster or several, each below a heading of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.record.roster_columns import BLANKS, PRIVATE, TAKEN, name_key, use_of
from ledger.record.roster_titles import Titles, read_titles, titles_at_end
from ledger.record.spreadsheet import Sheet, SheetRow, column_letter

NONE = "none"
"""The answer for a use that no column has."""
_PERSON = {"number", "name", "first", "last"}
_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d\d)\b")


@dataclass(frozen=True)
class Column:
    """A column of a roster: its place from 0, heading, use ("" unknown) and first cell."""

    index: int
    heading: str
    use: str
    example: str

    @property
    def letter(self) -> str:
        return column_letter(self.index)


@dataclass(frozen=True)
class Block:
    """One roster on a sheet, and what the rows above its heading say."""

    sheet: Sheet
    titles: Titles
    columns: tuple[Column, ...]
    rows: tuple[SheetRow, ...]
    has_heading: bool


@dataclass(frozen=True)
class Unsure:
    """A use for which a person has to name the column; `among` are those that may be it."""

    use: str
    among: tuple[Column, ...]


@dataclass(frozen=True)
class Layout:
    """Which column holds what; "name" may be two columns, first and last name."""

    by_use: Mapping[str, tuple[Column, ...]]
    left_out: tuple[Column, ...]
    unsure: tuple[Unsure, ...]


def find_blocks(sheet: Sheet) -> list[Block]:
    """The rosters of a sheet; without any heading, one of all its rows."""
    heads = [at for at, row in enumerate(sheet.rows) if _is_heading(row, sheet.width)]
    if not heads:
        return [_block(sheet, (), None, sheet.rows)]
    blocks = []
    above = sheet.rows[: heads[0]]
    for at, end in zip(heads, [*heads[1:], len(sheet.rows)], strict=True):
        rows = sheet.rows[at + 1 : end]
        title_rows = titles_at_end(rows) if end < len(sheet.rows) else 0
        below = rows[len(rows) - title_rows :]
        blocks.append(_block(sheet, above, sheet.rows[at], rows[: len(rows) - title_rows]))
        above = below
    return blocks


def lay_out(block: Block, chosen: Mapping[str, str]) -> Layout:
    """Which column holds what, by heading and by what a person has chosen ("B", "B+C", a heading).

    `chosen` is by use; an answer that names no column here is passed over.
    """
    found = {use: [one for one in block.columns if one.use == use] for use in TAKEN}
    by_use: dict[str, tuple[Column, ...]] = {}
    unsure: list[Unsure] = []
    for use, answer in chosen.items():
        if answer.casefold() == NONE:
            by_use[use] = ()
        elif columns := _named(block, answer):
            by_use[use] = columns
    settled = set(by_use)
    if "name" not in by_use:
        by_use["name"], among = _name_columns(found)
        unsure += [Unsure("name", among)] if among else []
    for use in ("number", "team", "division", "association"):
        if use not in by_use:
            by_use[use] = tuple(found[use][:1])
            unsure += [Unsure(use, tuple(found[use]))] if len(found[use]) > 1 else []
    used = {one.index for columns in by_use.values() for one in columns}
    free = tuple(one for one in block.columns if one.index not in used and one.use not in PRIVATE)
    asked = {one.use for one in unsure} | settled
    needed = ("number", "name") if block.has_heading else ("number", "name", "team")
    if free:
        unsure += [Unsure(use, free) for use in needed if not by_use[use] and use not in asked]
    left_out = tuple(one for one in block.columns if one.index not in used)
    order = {use: at for at, use in enumerate(TAKEN)}
    return Layout(by_use, left_out, tuple(sorted(unsure, key=lambda one: order[one.use])))


def _is_heading(row: SheetRow, width: int) -> bool:
    uses = [use for cell in row.cells if cell and (use := use_of(cell))]
    if not _PERSON & set(uses):
        return False
    return len(uses) > 1 or width == 1


def _block(
    sheet: Sheet, above: Sequence[SheetRow], heading: SheetRow | None, rows: Sequence[SheetRow]
) -> Block:
    heads = heading.cells if heading else ()
    columns = []
    for index in range(max([len(heads), *(len(row.cells) for row in rows)], default=0)):
        head = heads[index] if index < len(heads) else ""
        example = next((row.cells[index] for row in rows if any(row.cells[index : index + 1])), "")
        if head or example:
            cells = [row.cells[index] for row in rows if any(row.cells[index : index + 1])]
            columns.append(Column(index, head, _use(head, cells), example))
    return Block(sheet, read_titles(above), tuple(columns), tuple(rows), heading is not None)


def _use(heading: str, cells: Sequence[str]) -> str:
    """What the column holds by its heading, unless its cells contradict it."""
    use = use_of(heading) or ("birth" if _are_dates(cells) else "")
    held = "".join(cell for cell in cells if cell.casefold() not in BLANKS)
    if use == "number" and held and not any(map(str.isdigit, held)):
        return ""  # "Jersey" may be its size
    if use == "name" and held and not any(map(str.isalpha, held)):
        return ""  # "Player" may be a number of the office
    return use


def _are_dates(cells: Sequence[str]) -> bool:
    """Nothing else on a roster is a date in every row."""
    return bool(cells) and all(map(_DATE.match, cells))


def _named(block: Block, answer: str) -> tuple[Column, ...]:
    """The columns that a person names: by letter, or by heading; never a private one."""
    for parts in ([answer], answer.split("+")):
        found = [_one_named(block, part.strip()) for part in parts]
        if all(found):
            return tuple(one for one in found if one is not None)
    return ()


def _one_named(block: Block, name: str) -> Column | None:
    open_to_use = [one for one in block.columns if one.use not in PRIVATE]
    by_heading = (one for one in open_to_use if name_key(one.heading) == name_key(name))
    by_letter = (one for one in open_to_use if one.letter == name.upper())
    return next(by_heading, None) or next(by_letter, None)


def _name_columns(
    found: Mapping[str, Sequence[Column]],
) -> tuple[tuple[Column, ...], tuple[Column, ...]]:
    """The columns of the name, or those among which a person has to choose."""
    whole, first, last = found["name"], found["first"], found["last"]
    if len(first) == len(last) == 1:
        return (first[0], last[0]), ()
    every = tuple(sorted((*whole, *first, *last), key=lambda one: one.index))
    return (every, ()) if len(every) < 2 else ((), every)
