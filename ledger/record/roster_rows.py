"""The children of a roster, and a remark on every row that is not taken as it stands."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from ledger.record.private_words import private_words
from ledger.record.roster_columns import BLANKS
from ledger.record.roster_layout import Block, Column, Layout
from ledger.record.spreadsheet import SheetRow
from ledger.record.times import now_utc

_NUMBER = re.compile(r"(?:no\.?|#)?\s*(\d+)(?:\.0+)?", re.IGNORECASE)
_NUMBER_IN_NAME = re.compile(r"\S*\d{2,}\S*")
"""A jersey, a year of birth or a weight, but not "3rd"."""
_TOTALS = frozenset({"total", "totals", "grand total", "subtotal", "sum", "count"})
"""What a row under the children counts, where their names are, or the team's."""
_FORMULA_SIGNS = "=+-@"


@dataclass(frozen=True)
class Child:
    """A row of a roster. Texts are as written; "" is nothing."""

    sheet: str
    row: int
    team: str
    division: str
    association: str
    number: int | None
    name: str


@dataclass(frozen=True)
class Remark:
    """What a person should know of a row (0: of the sheet): a code, and the words it is about."""

    code: str
    sheet: str
    row: int = 0
    about: str = ""
    other: str = ""


def read_block(block: Block, layout: Layout, team: str) -> tuple[list[Child], list[Remark]]:
    """The children of a block and the remarks on its rows.

    `team` is their team where no column names it.
    """
    reader = _Reader(block, layout, team)
    for row in block.titles.others:
        reader.remark("above", row, _shown(row))
    for row in block.rows:
        reader.read(row)
    return reader.children, reader.remarks


def read_number(text: str) -> tuple[int | None, str]:
    """A player's number as people write it, and the code of a remark on it.

    >>> read_number("#12"), read_number("7.0"), read_number("07")
    ((12, ''), (7, ''), (7, 'leading_zero'))
    >>> read_number("n/a"), read_number("Coach"), read_number("100")
    ((None, 'no_number'), (None, 'not_a_player'), (None, 'bad_number'))
    """
    plain = unicodedata.normalize("NFKC", text).strip()
    if plain.casefold() in BLANKS:
        return None, "no_number"
    found = _NUMBER.fullmatch(plain)
    if not found:
        return None, "bad_number" if any(map(str.isdigit, plain)) else "not_a_player"
    digits = found[1]
    if len(digits) > 9 or int(digits) > 99:
        return None, "bad_number"
    return int(digits), "leading_zero" if len(digits) > 1 and digits[0] == "0" else ""


class _Reader:
    def __init__(self, block: Block, layout: Layout, team: str) -> None:
        self.children: list[Child] = []
        self.remarks: list[Remark] = []
        self._block, self._by_use, self._team = block, layout.by_use, team
        self._fills_down = self._is_merged_team()
        self._year = int(now_utc()[:4])

    def remark(self, code: str, row: SheetRow, about: str = "", other: str = "") -> None:
        self.remarks.append(Remark(code, self._block.sheet.title, row.number, about, other))

    def read(self, row: SheetRow) -> None:
        number_text, name_text = self._cell(row, "number"), self._cell(row, "name")
        number, code = read_number(number_text)
        if self._is_section(row, number_text, name_text, code):
            self._team = next(cell for cell in row.cells if cell)
            self.remark("section", row, self._team)
            return
        name = self._name(row, name_text)
        is_total = (name or self._cell(row, "team")).casefold().rstrip(":") in _TOTALS
        if code == "not_a_player" or is_total or (number is None and not name):
            self.remark("not_taken", row, _shown(row))
            return
        for column in (one for columns in self._by_use.values() for one in columns):
            if (row.number, column.index) in self._block.sheet.uncomputed:
                self.remark("uncomputed", row, column.letter)
        team = self._team_of(row)
        if code:
            self.remark(code, row, number_text, " ".join(filter(None, [team, name])) or "A player")
        if not team:
            self.remark("no_team", row, name or f"#{number}")
        titles = self._block.titles
        division = self._cell(row, "division") or titles.division
        association = self._cell(row, "association") or titles.association
        sheet = self._block.sheet.title
        self.children.append(Child(sheet, row.number, team, division, association, number, name))

    def _is_section(self, row: SheetRow, number_text: str, name_text: str, code: str) -> bool:
        """A team's name between the rows, where no column has the team."""
        if self._by_use["team"] or name_text or not number_text:
            return False
        return code == "not_a_player" and sum(map(bool, row.cells)) == 1

    def _name(self, row: SheetRow, text: str) -> str:
        if not any(map(str.isalpha, text)):
            return ""
        words = private_words(text, about_child=True, year=self._year)
        if any(any(map(str.isdigit, word)) for word in words):  # Born is a family's name too
            self.remark("private_name", row)
            return ""
        name = clean_name(text)
        if name != text:
            self.remark("sign_dropped", row, name)
        plain = " ".join(_NUMBER_IN_NAME.sub(" ", name).split())
        if plain != name:
            self.remark("number_in_name", row, plain)
        return plain

    def _team_of(self, row: SheetRow) -> str:
        if not self._by_use["team"]:
            return self._team
        if team := self._cell(row, "team"):
            self._team = team
            return team
        if self._fills_down and self._team:
            self.remark("team_from_above", row, self._team)
            return self._team
        return ""

    def _is_merged_team(self) -> bool:
        """Most cells of the team's column are blank: merged cells, or a team named once."""
        columns = self._by_use["team"]
        cells = [self._cell(row, "team") for row in self._block.rows]
        return bool(columns and cells and cells[0]) and sum(map(bool, cells)) * 2 <= len(cells)

    def _cell(self, row: SheetRow, use: str) -> str:
        text = _join(row, self._by_use[use])
        return text if use in ("number", "name") else clean_name(text)


def clean_name(text: str) -> str:
    """The text without signs at its start that make a spreadsheet run it.

    >>> clean_name("=Newts"), clean_name("O'Dandelow")
    ('Newts', "O'Dandelow")
    """
    return text.lstrip(_FORMULA_SIGNS + " ")


def _join(row: SheetRow, columns: Sequence[Column]) -> str:
    cells = (row.cells[one.index] for one in columns if one.index < len(row.cells))
    return " ".join(filter(None, cells))


def _shown(row: SheetRow) -> str:
    """The row's first words: no number of it could be a weight, and no date a birth date."""
    words = [cell for cell in row.cells if not any(map(str.isdigit, cell))]
    return ", ".join(filter(None, words[:2]))
