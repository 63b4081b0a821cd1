"""Remarks on a roster: every one that there can be has its words, and every word its remark."""

from __future__ import annotations

from ledger.actions.beginning_rosters import SKIP, read_rosters
from ledger.actions.season_questions import Wanted
from ledger.record.spreadsheet import Sheet, SheetRow
from ledger.say.roster_remarks import HARMLESS, REMARKS, remark_lines

COLUMNS = """
No. | Name | Team | Division | Club
1 | Pip Quill | Newts | Acorn | Fen
07 | Bo Wick | Newts | Oak | Fen
 | Ana Reed | Newts | Acorn | Hill
120 | Lu Ember | Newts
1 | Cal Marrow | Newts
1 | Pip Quill | Newts
2 | Pip Quill | Marmots
3 | =Ida Moss | Marmots
4 | Ned 21 Moss | Marmots
5 | Joe Moss, 95 lb | Marmots
6 | Eve Moss |
Coach | Max Elder | Marmots
"""
BELOW = """
Printed in the office
Wombats and others
No. | Name | Team
1 | Ada Rill | Wombats
2 | Ben Rill |
"""
BETWEEN = """
No. | Name
Quokkas
1 | Fay Dell
"""
ALONE = "Bring the check weight"


def sheet(name: str, text: str) -> Sheet:
    rows = [tuple(cell.strip() for cell in line.split("|")) for line in text.strip().splitlines()]
    held = tuple(SheetRow(at, row) for at, row in enumerate(rows, 1))
    return Sheet("r.xlsx", name, held, frozenset({(4, 0)}))


SHEETS = [sheet("All", COLUMNS), sheet("Wombats", BELOW), sheet("Q", BETWEEN), sheet("N", ALONE),
          sheet("Old", ALONE)]  # fmt: skip


def test_every_remark_can_be_made_and_has_words() -> None:
    remarks = read_rosters(SHEETS, Wanted({(SKIP, "Old"): ""})).remarks
    assert {one.code for one in remarks} == set(REMARKS)
    assert set(REMARKS) > HARMLESS
    said = remark_lines(remarks)
    assert not [one for one in said if "{" in one or "  " in one or not one.endswith(".")]
    assert "r.xlsx, sheet All, row 4: Newts Ana Reed has no number, and is on the roster" in (
        "\n".join(said)
    )
    assert "r.xlsx, sheet All, row 5: Newts Lu Ember: “120” is not a number from 0" in "\n".join(
        said
    )


def test_remarks_are_in_the_order_of_sheets_and_rows() -> None:
    remarks = read_rosters(SHEETS, Wanted({(SKIP, "Old"): ""})).remarks
    order = [one.title for one in SHEETS]
    places = [(order.index(one.sheet), one.row) for one in remarks]
    assert places == sorted(places)


def test_many_alike_on_a_sheet_are_one_remark() -> None:
    """A league that has no numbers yet: one line for each sheet, not one for each child."""
    names = ["Pip", "Bo", "Ana", "Lu", "Cal"]
    rows = [f" | {name} Quill" for name in names]
    rows.insert(3, "9 | Ida Quill")
    text = "\n".join(["No. | Name", *rows])
    few = "\n".join(["No. | Name", *rows[:3]])
    sheets = [sheet("Newts", text), sheet("Marmots", few)]
    lines = remark_lines(read_rosters(sheets, Wanted()).remarks)
    assert lines[0] == (
        "r.xlsx, sheet Newts, rows 2 to 4 and 6 to 7: 5 players have no number, and are on the "
        "roster without one. Write their numbers in days/rosters.csv."
    )
    assert sum("no number" in line for line in lines) == 4
