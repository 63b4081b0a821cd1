"""CSV: what was recorded comes back, and nothing in it runs."""

from __future__ import annotations

import csv
import doctest
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.derive import spreadsheet
from ledger.derive.spreadsheet import format_csv

ANY_TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"))
STARTERS = "=+-@\t\r"
"""Beginnings of a formula (OWASP, "CSV injection"; from memory)."""


def cells(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline="")))


@given(ANY_TEXT)
@example("=cmd|' /C calc'!A0")
@example("'quoted")
@example(" -1")
@example("a;=1+1")
@example('"')
def test_a_text_comes_back_and_starts_no_formula(text: str) -> None:
    (_, (shown, after)) = cells(format_csv(("text", "after"), [(text, 1)]))
    assert after == "1"
    assert not shown.startswith(tuple(STARTERS))
    assert not shown.lstrip(" ").startswith(tuple(STARTERS))
    assert shown.removeprefix("'") == text


@pytest.mark.parametrize("starter", STARTERS)
def test_no_separator_lets_a_formula_begin(starter: str) -> None:
    """Spreadsheets in other countries separate by semicolon or tab."""
    for separator in ";\t|":
        line = format_csv(("text",), [(f"a{separator}{starter}1",)]).split("\n", 1)[1]
        assert line.startswith('"')


def test_kinds_of_cells() -> None:
    rows = [(None, True, False, -3, ["office:1", "office:2"], [])]
    assert cells(format_csv(tuple("abcdef"), rows))[1] == [
        "", "true", "false", "-3", "office:1 office:2", "",
    ]  # fmt: skip


def test_the_example() -> None:
    assert doctest.testmod(spreadsheet).failed == 0
