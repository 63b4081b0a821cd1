"""A filled-in sheet, whatever people type into it: entries or faults, and nothing else."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ledger.record.paper_entries import Typing, entries_of
from ledger.record.paper_sheet import COLUMNS, LABELS, read_sheet
from ledger.record.reading import read_statement
from ledger.record.spreadsheet import Sheet, SheetRow
from ledger.record.times import zone
from ledger.record.typed_times import typed_time

CHICAGO = zone("America/Chicago")
CELLS = st.sampled_from(["", "x", "X", "no", "ok", "8:41", "k1", "12", "10.05", "a b", *LABELS])
TYPING = Typing("we", lambda game, typed: typed_time(typed, CHICAGO), {"ab": "wa"})


@given(
    st.permutations(list(COLUMNS.values())),
    st.lists(st.lists(CELLS, max_size=len(COLUMNS)), max_size=4),
)
def test_any_sheet_gives_entries_or_faults(heading: list[str], cells: list[list[str]]) -> None:
    """An entry is of a kind that the ledger knows, and uses no column that the kind has not."""
    rows = [SheetRow(at, tuple(row)) for at, row in enumerate([heading, *cells], 1)]
    lines, faults = read_sheet(Sheet("sheet.csv", "", tuple(rows)))
    if faults:
        return
    for entry in entries_of(lines, TYPING)[0]:
        _, faults = read_statement(entry.cells, CHICAGO, entry.line.place)
        assert [one for one in faults if one.column == "kind" or "empty cell" in one.right] == []


def test_columns_may_be_in_any_order_and_a_strange_one_is_told() -> None:
    rows = (
        SheetRow(1, ("TIME", "no.", "Line", "team", "OK", "Game")),
        SheetRow(3, ("8:41", "4", "k1", "newts", "x", "g1")),
    )
    (line,), faults = read_sheet(Sheet("sheet.csv", "", rows))
    assert faults == []
    assert (line["line"], line["time"], line.marked("ok"), line.place.line) == (
        "k1",
        "8:41",
        True,
        3,
    )
    rows = (SheetRow(1, ("Gmae", "Team", "Pounds", "ok", "OK")),)
    faults = read_sheet(Sheet("sheet.csv", "", rows))[1]
    assert [(one.column, one.found, one.right[-17:]) for one in faults] == [
        ("'Gmae'", "an unknown column", "id you mean Game?"),
        ("'Pounds'", "an unknown column", "imit lb, By, Note"),
        ("Game", "no such column", "as in a new sheet"),
        ("ok", "the column twice", "as in a new sheet"),
    ]
