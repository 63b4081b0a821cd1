"""Remarks on the rows of a roster, in words; many of one kind on a sheet are one remark."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from ledger.record.new_season import JOINS_FILE
from ledger.record.roster_rows import Remark
from ledger.say.codes import Codes
from ledger.say.words import join, printable

REMARKS = Codes(
    "remark",
    no_number="{other} has no number, and is on the roster without one. Write the "
    f"number in {JOINS_FILE}.",
    bad_number="{other}: “{about}” is not a number from 0 to 99. The child is on the roster "
    f"without one. Write the number in {JOINS_FILE}.",
    leading_zero="The number is written “{about}”. weighbook keeps it without the zero.",
    not_taken="Not taken: it does not look like a player{about_too}.",
    above="Not taken: it stands above the heading{about_too}.",
    section="“{about}” stands alone: taken as the team of the rows below.",
    uncomputed="Column {about} has a formula without a saved result. It counts as blank. Open and "
    "save the spreadsheet in a spreadsheet program to fill it.",
    no_team="{about} has no team. The child is in players.csv without team and number: fill in "
    "both.",
    team_from_above="No team in this row: taken from above, {about}.",
    number_in_name="The name had a number in it, which is left out: {about}.",
    private_name="The name seems to hold a weight or a birth date. weighbook keeps neither, so "
    "the name is left out.",
    sign_dropped="The name began with a sign that makes a spreadsheet run it. It is now {about}.",
    row_twice="{about} is here again, and was taken once ({other}).",
    number_twice="{about}: this number is taken ({other}). The child is on the roster without a "
    f"number. Write one in {JOINS_FILE}.",
    two_divisions="{about} is in another division here: {other}. The first one counts.",
    two_associations="{about} is of another association here: {other}. The first one counts.",
    on_two_teams="{about} is on another team too ({other}). They are taken as two children. If it "
    "is one child, delete one row of players.csv and use roster_add in a day file.",
    no_roster="No roster found on this sheet; left out. To take it, name its columns with "
    "--column.",
    skipped="Left out, as you asked.",
)
HARMLESS = frozenset({"above", "leading_zero", "section", "team_from_above", "skipped"})
"""Remarks that ask nothing of anybody."""
_MANY = Codes(
    "remark",
    no_number="{count} players have no number, and are on the roster without one. Write their "
    f"numbers in {JOINS_FILE}.",
    leading_zero="{count} numbers are written with a zero in front. weighbook keeps them without.",
    team_from_above="{count} rows have no team of their own: taken from above.",
    no_team="{count} players have no team. They are in players.csv without team and number: fill "
    "in both.",
)
_FEW = 3


def remark_lines(remarks: Iterable[Remark]) -> list[str]:
    """The remarks of all sheets, in order; more than three alike on a sheet are one."""
    lines = []
    for sheet, group in groupby(remarks, key=lambda one: one.sheet):
        of_sheet = list(group)
        said: set[str] = set()
        for one in of_sheet:
            alike = [other for other in of_sheet if other.code == one.code]
            if one.code not in _MANY or len(alike) <= _FEW:
                lines.append(_one(one))
            elif one.code not in said:
                said.add(one.code)
                words = _MANY[one.code].format(count=len(alike))
                lines.append(f"{printable(sheet)}, rows {_rows(alike)}: {words}")
    return lines


def _one(remark: Remark) -> str:
    where = printable(remark.sheet) + (f", row {remark.row}" if remark.row else "")
    about_too = f" (“{remark.about}”)" if remark.about else ""
    words = REMARKS[remark.code].format(about=remark.about, other=remark.other, about_too=about_too)
    return f"{where}: {printable(words)}"


def _rows(remarks: Sequence[Remark]) -> str:
    """ "4 to 9, 12 and 15"."""
    rows = sorted({one.row for one in remarks})
    starts = [row for row in rows if row - 1 not in rows]
    ends = [row for row in rows if row + 1 not in rows]
    spans = zip(starts, ends, strict=True)
    return join([f"{first}" if first == last else f"{first} to {last}" for first, last in spans])
