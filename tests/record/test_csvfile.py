"""CSV as RFC 4180 has it: UTF-8, LF or CRLF, quotes, line numbers, and what is nothing."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.record.csvfile import MAX_FIELD_BYTES, read_records

COLUMNS = ["a", "b", "note"]


def read(path: Path, data: str | bytes) -> tuple[list[tuple[int, int, dict[str, str]]], list[str]]:
    """Records as (number, line, cells), and faults as text."""
    file = path / "x.csv"
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    records, faults, _ = read_records(file, "x.csv", COLUMNS)
    return [(r.number, r.place.line, r.cells) for r in records], [str(fault) for fault in faults]


ONE = [(1, 2, {"a": "1", "b": "2"})]


@pytest.mark.parametrize(
    "text",
    [
        "a,b\n1,2\n",
        "a,b\r\n1,2\r\n",
        "a,b\n1,2",  # the last line may lack its end
        "\ufeffa,b\n1,2\n",  # a byte-order mark is accepted
        "b,a\n2,1\n",  # columns in any order
        "a,b,note\n1,2,\n",  # an empty cell is one that was left out
        '"a","b"\n"1","2"\n',
    ],
)
def test_one_record(tmp_path: Path, text: str) -> None:
    assert read(tmp_path, text) == (ONE, [])


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\ufeff",
        "\n",
        "\r\n\r\n",
        "a,b\n",
        "a,b",
        "\n\na,b\n\n",
        ",,\n",
        "a,b\n,\n,\n",
        " \n\t\n",
    ],
)
def test_empty_files_and_blank_lines_are_nothing(tmp_path: Path, text: str) -> None:
    """Blank: no cell holds anything but white space, as in what a spreadsheet adds at the end."""
    assert read(tmp_path, text) == ([], [])


def test_blank_lines_have_a_line_and_no_record_number(tmp_path: Path) -> None:
    records, faults = read(tmp_path, "\na,b\n\n1,2\n,\n3,4\n")
    assert records == [(1, 4, {"a": "1", "b": "2"}), (2, 6, {"a": "3", "b": "4"})]
    assert faults == []


def test_a_record_is_where_its_first_line_is(tmp_path: Path) -> None:
    records, _ = read(tmp_path, 'a,note\n1,"one\ntwo, ""three""\r\n"\n2,x\n')
    assert records[0] == (1, 2, {"a": "1", "note": 'one\ntwo, "three"\r\n'})
    assert records[1] == (2, 5, {"a": "2", "note": "x"})


def test_cells_are_kept_as_they_are(tmp_path: Path) -> None:
    records, _ = read(tmp_path, "a,b\n 1 ,é\u2028x\n")
    assert records[0][2] == {"a": " 1 ", "b": "é\u2028x"}


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        (b"a,b\n1,\xff\n", "x.csv, line 2: found bytes that are not UTF-8 (0xff)"),
        ("a,b\n1,2\n".encode("utf-16"), "x.csv: found text in UTF-16; expected the file saved as"),
        ("a,b\n1,2\n".encode("utf-16-be"), "x.csv, line 1: found a NUL character"),
        (b"PK\x03\x04", "x.csv: found a spreadsheet or another zipped file; expected the file"),
        (b"a;b\n1;2\n", "x.csv, line 1: found columns separated by ';'; expected columns sepa"),
        (b'\n"a";"b"\r\n"1";"2"\r\n', "x.csv, line 1: found columns separated by ';'"),
        (b"a\tnots\n1\t2\n", "x.csv, line 1: found columns separated by tabs"),
        (b"a,b\n\n1,\0\n", "x.csv, line 3: found a NUL character; expected text without it"),
        (b"a,b\r1,2\r", "x.csv, line 1: found a quote or carriage return in an unquoted field"),
        (b"a,b\n1,2\r", "x.csv, line 2: found a quote or carriage return in an unquoted field"),
        (b"a,b\n1,2\r\r\n", "x.csv, line 2: found a quote or carriage return in an unquoted field"),
        (
            b'a,b\n1,5" tape\n',
            "x.csv, line 2: found a quote or carriage return in an unquoted field",
        ),
        (b'a,b\n1, "2"\n', "x.csv, line 2: found a quote or carriage return in an unquoted field"),
        (b'a,b\n1,"2"x\n', "x.csv, line 2: found text after the closing quote of a field"),
        (b'a,b\n1,2\n3,"4\n5,6\n', "x.csv, line 3: found a quote that is never closed"),
        (b"a,b\n1\n", "x.csv, line 2: found 1 field; expected 2 fields, as in the header"),
        (b"a,b\n1,2,3\n", "x.csv, line 2: found 3 fields; expected 2 fields, as in the header"),
        (b"a,nots\n1,2\n", "x.csv, line 1, 'nots': found an unknown column; expected one of the"),
        (b"a,b,\n1,2,\n", "x.csv, line 1, '': found an unknown column"),
        (b"a,a\n1,2\n", "x.csv, line 1, 'a': found the column twice; expected each column once"),
        (b"1,2\n", "x.csv, line 1, '1': found an unknown column"),
    ],
)
def test_refused(tmp_path: Path, data: bytes, fault: str) -> None:
    _, faults = read(tmp_path, data)
    assert faults[0].startswith(fault)
    assert "; expected " in faults[0]


def test_an_unknown_column_names_the_nearest(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "a,nots\n1,2\n")
    right = "one of the columns a, b, note. Did you mean note?"
    assert faults == [f"x.csv, line 1, 'nots': found an unknown column; expected {right}"]


def test_headings_in_other_letters_are_one_fault_and_the_lines_are_read_by_them(
    tmp_path: Path,
) -> None:
    right = "a, note: small letters, and _ for a space"
    found = "x.csv, line 1: found the headings 'A ', 'Note'"
    records, faults = read(tmp_path, "A ,b,Note\n1,2,3\n")
    assert faults == [f"{found}; expected {right}"]
    assert records == [(1, 2, {"a": "1", "b": "2", "note": "3"})]
    records, faults = read(tmp_path, "A ,Note,nots\n1,2,3\n")
    assert faults[0] == f"{found}; expected {right}"
    assert [fault.partition(":")[0] for fault in faults] == [
        "x.csv, line 1",
        "x.csv, line 1, 'nots'",
    ]
    assert records == []


@pytest.mark.parametrize("heading", ["May play", "may-play", "MAY_PLAY", " may  play "])
def test_a_heading_with_a_space(tmp_path: Path, heading: str) -> None:
    (tmp_path / "x.csv").write_text(f"{heading}\nfull\n")
    records, faults, has_missed = read_records(tmp_path / "x.csv", "x.csv", ["may_play"])
    told = "; expected may_play: small letters, and _ for a space"
    assert [str(fault).partition("heading")[2] for fault in faults] == [f" '{heading}'{told}"]
    assert ([one.cells for one in records], has_missed) == ([{"may_play": "full"}], False)


def test_one_column_under_two_spellings_is_there_twice(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "a,A\n1,2\n")
    assert [fault.partition(";")[0] for fault in faults] == [
        "x.csv, line 1: found the heading 'A'",
        "x.csv, line 1, 'a': found the column twice",
    ]


@pytest.mark.parametrize(
    ("data", "has_missed"),
    [
        ("a,b\n1,2\n", False),
        ("A,b\n1,2\n", False),
        ("a,b\n1\n", True),
        ("a,nots\n1,2\n", True),
        ("a;b\n1;2\n", True),
        ('a,b\n1,"2\n', True),
        (b"a,\xff\n", True),
    ],
)
def test_what_was_not_read_is_known(tmp_path: Path, data: str | bytes, has_missed: bool) -> None:
    (tmp_path / "x.csv").write_bytes(data if isinstance(data, bytes) else data.encode())
    assert read_records(tmp_path / "x.csv", "x.csv", COLUMNS).has_missed == has_missed


def test_another_separator_is_known_in_capitals_too(tmp_path: Path) -> None:
    (fault,) = read(tmp_path, "A;NOTE\n1;2\n")[1]
    assert "found columns separated by ';'" in fault


def test_every_record_of_another_length_is_named(tmp_path: Path) -> None:
    records, faults = read(tmp_path, "a,b\n1\n1,2\n1,2,3\n")
    assert [fault.partition(":")[0] for fault in faults] == ["x.csv, line 2", "x.csv, line 4"]
    assert len(records) == 1


@pytest.mark.parametrize("letter", ["x", "é"])
def test_a_field_holds_at_most_a_mebibyte(tmp_path: Path, letter: str) -> None:
    most = letter * (MAX_FIELD_BYTES // len(letter.encode()))
    records, faults = read(tmp_path, f"a,note\n1,{most}\n")
    assert (records[0][2]["note"], faults) == (most, [])
    _, faults = read(tmp_path, f"a,note\n1,2\n1,{most}x\n")
    right = "a field of at most 1 MiB"
    assert faults == [f"x.csv, line 3, note: found more than 1 MiB; expected {right}"]


def test_a_file_that_cannot_be_read_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "x.csv").mkdir()
    faults = read_records(tmp_path / "x.csv", "x.csv", COLUMNS).faults
    found = "x.csv: found a file that cannot be read (Is a directory)"
    assert [str(fault) for fault in faults] == [f"{found}; expected a file this program can read"]


CELLS = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=8)


@pytest.fixture(scope="module")
def scratch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for the examples of a property, which share it."""
    return tmp_path_factory.mktemp("csv")


@given(st.lists(st.tuples(CELLS, CELLS).filter(lambda row: "".join(row).strip()), max_size=5))
def test_what_a_csv_writer_writes_is_read_back(scratch: Path, rows: list[tuple[str, str]]) -> None:
    """Python's own writer, quoting all, is the referee: RFC 4180 with CRLF."""
    text = io.StringIO()
    csv.writer(text, quoting=csv.QUOTE_ALL).writerows([("a", "b"), *rows])
    records, faults = read(scratch, text.getvalue())
    assert [(cells["a"], cells["b"]) for _, _, cells in records] == rows
    assert faults == []


@given(st.one_of(st.binary(), st.text('a,b"\r\n1 ').map(str.encode)))
def test_any_bytes_are_records_or_faults(scratch: Path, data: bytes) -> None:
    records, faults = read(scratch, b"a,b\n" + data)
    assert all("found" in fault and "expected" in fault for fault in faults)
    assert all(set(cells) <= {"a", "b"} for _, _, cells in records)
