"""Spreadsheets as text: workbooks without running anything, CSV in every separator and spelling."""

from __future__ import annotations

import zipfile
from datetime import date, datetime, time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import InputError
from ledger.record import spreadsheet
from ledger.record.spreadsheet import SheetRow, column_letter, read_sheets
from tests.record.sheets import rewrite, write_csv, write_workbook


def cells(path: Path) -> list[tuple[str, ...]]:
    (sheet,) = read_sheets(path)
    return [row.cells for row in sheet.rows]


def test_a_workbook_is_its_sheets_with_the_numbers_of_their_rows(tmp_path: Path) -> None:
    rows = [["Newts", None, None], [], ["No.", "Name"], [12.0, "  Pip\n Quill "]]
    path = write_workbook(tmp_path / "a.xlsx", {"Newts": rows, "Empty": []}, merged=["A1:C1"])
    (sheet,) = read_sheets(path)
    assert (sheet.title, sheet.width) == ("a.xlsx, sheet Newts", 2)
    assert sheet.rows == (
        SheetRow(1, ("Newts",)),
        SheetRow(3, ("No.", "Name")),
        SheetRow(4, ("12", "Pip Quill")),
    )


def test_every_kind_of_cell_is_text(tmp_path: Path) -> None:
    given = [7, 7.0, 7.5, True, date(2014, 5, 1), datetime(2014, 5, 1, 9, 30), time(9), " x\ty "]
    path = write_workbook(tmp_path / "a.xlsx", {"A": [given]})
    expected = ("7", "7", "7.5", "True", "2014-05-01", "2014-05-01T09:30:00", "09:00:00", "x y")
    assert cells(path) == [expected]


def test_a_number_that_a_program_writes_with_a_point_is_whole(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["Name", 12]]})
    rewrite(path, b"<v>12</v>", b"<v>12.0</v>")
    assert cells(path) == [("Name", "12")]


def test_a_formula_is_not_run_and_its_place_is_known(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["a", "=1+1"], ["=B1"], ["b"]]})
    (sheet,) = read_sheets(path)
    assert [row.cells for row in sheet.rows] == [("a",), ("b",)]
    assert sheet.uncomputed == {(1, 1), (2, 0)}


def test_a_formula_with_a_saved_result_has_it(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["a", "=1+1"]]})
    rewrite(path, b"<f>1+1</f>", b"<f>1+1</f><v>2</v>")
    (sheet,) = read_sheets(path)
    assert (sheet.rows[0].cells, sheet.uncomputed) == (("a", "2"), frozenset())


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_csv(tmp_path: Path, separator: str, encoding: str) -> None:
    rows = [["No.", "Name"], ["12", f"Zoë{separator} {'x' * 9}"], ["", ""], ["7", 'a "b"']]
    path = write_csv(tmp_path / "a.csv", rows, separator=separator, encoding=encoding)
    assert cells(path) == [
        tuple(" ".join(cell.split()) for cell in row) for row in rows if any(row)
    ]


def test_the_first_line_of_a_spreadsheet_program_names_the_separator(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text('sep=;\nNo.;Name\n1;"a\nb"\n2;c,d,e,f\n')
    (sheet,) = read_sheets(tmp_path / "a.csv")
    assert [(row.number, row.cells) for row in sheet.rows] == [
        (2, ("No.", "Name")),
        (3, ("1", "a b")),
        (5, ("2", "c,d,e,f")),
    ]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"\xd0\xcf\x11\xe0" + bytes(600), "is an older kind of spreadsheet, or has a password"),
        (b"PK\x03\x04 nothing else", "cannot be read as a spreadsheet (BadZipFile)"),
        (b"a,b\0c", "is neither a spreadsheet nor text"),
        (b"\x81\x8d", "is neither a spreadsheet nor text"),
    ],
)
def test_what_is_no_spreadsheet(tmp_path: Path, data: bytes, told: str) -> None:
    (tmp_path / "a.xlsx").write_bytes(data)
    with pytest.raises(InputError, match=r"^a\.xlsx ") as caught:
        read_sheets(tmp_path / "a.xlsx")
    assert told in caught.value.message
    assert caught.value.hint == (
        "Open it in a spreadsheet program and save it as .xlsx or CSV, without a password."
    )


def test_a_zip_of_another_kind_and_a_missing_file(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.ods", "w") as other:
        other.writestr("content.xml", "<a/>")
    with pytest.raises(InputError, match="cannot be read as a spreadsheet"):
        read_sheets(tmp_path / "a.ods")
    with pytest.raises(InputError, match="cannot be read: No such file"):
        read_sheets(tmp_path / "b.xlsx")


def test_what_unpacks_to_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["x" * 30_000] * 3]})
    assert len(cells(path)) == 1
    assert path.stat().st_size < 9_000
    monkeypatch.setattr(spreadsheet, "MAX_BYTES", 9_000)
    with pytest.raises(InputError, match=r"^'a\.xlsx' is too large for a roster"):
        read_sheets(path)


@pytest.mark.parametrize(("name", "most"), [("MAX_ROWS", 2), ("MAX_COLUMNS", 2)])
def test_too_many_rows_or_columns_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, most: int
) -> None:
    path = write_csv(tmp_path / "a.csv", [["a", "b"], ["c"]])
    monkeypatch.setattr(spreadsheet, name, most)
    assert len(cells(path)) == 2
    monkeypatch.setattr(spreadsheet, name, most - 1)
    with pytest.raises(InputError, match="too large for a roster"):
        read_sheets(path)


def test_a_row_that_claims_to_be_far_down_does_not_take_forever(tmp_path: Path) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["a"], ["b"]]})
    rewrite(path, b'r="2"', b'r="99999999999"')
    with pytest.raises(InputError, match="too large for a roster"):
        read_sheets(path)


@pytest.mark.parametrize(
    "entity",
    [
        b'<!ENTITY a "lol"><!ENTITY b "%b"><!ENTITY c "%b"><!ENTITY d "%b"><!ENTITY x "%b">'
        % tuple(b"&%c;" % one * 200 for one in b"abcd"),
        b'<!ENTITY x SYSTEM "file:///etc/hostname">',
    ],
    ids=["a bomb", "a file of this machine"],
)
def test_entities_are_not_followed(tmp_path: Path, entity: bytes) -> None:
    path = write_workbook(tmp_path / "a.xlsx", {"A": [["Name"]]})
    rewrite(path, b"<worksheet", b"<!DOCTYPE w [" + entity + b"]><worksheet")
    rewrite(path, b"Name", b"&x;")
    with pytest.raises(InputError, match="cannot be read as a spreadsheet"):
        read_sheets(path)


def test_columns_are_lettered_as_a_spreadsheet_does() -> None:
    assert [column_letter(at) for at in (0, 25, 26, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


@given(st.binary(max_size=300))
def test_any_bytes_are_rows_or_our_error(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(data)
    try:
        sheets = read_sheets(path)
    except InputError:
        return
    for row in (row for sheet in sheets for row in sheet.rows):
        assert row.cells[-1]
        assert all(cell == " ".join(cell.split()) for cell in row.cells)
