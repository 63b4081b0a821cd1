"""CSV that a spreadsheet can open without running anything in it.

A spreadsheet takes a cell that begins with = + - @, a tab or a line break for a formula, and what
people typed (initials, a site, a remark) may begin so. Such a text gets an apostrophe before it;
so does one that begins with an apostrophe, so that taking one apostrophe away always gives the
text back. Cells that hold a separator of any spreadsheet's liking are quoted (RFC 4180), so that
no cell falls apart into others. Numbers stay numbers.

>>> print(format_csv(("site", "count"), [("=1+1", 3), ("North, field 2", None)]), end="")
site,count
'=1+1,3
"North, field 2",
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

HARMLESS = (
    "A text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a line "
    "break) has an apostrophe before it; so has one that begins with an apostrophe. Take one "
    "apostrophe away to get the text as it was recorded."
)

# The wide forms are = + - @ to spreadsheets in East Asian settings (common practice, no source).
_FORMULA = re.compile(r"[ \u00a0]*[=+\-@\t\r\n＝＋－＠']")
_APART = re.compile(r'[",;\t\r\n|]|^\s|\s$')


def format_csv(columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """The rows under their columns; lists become words, None an empty cell."""
    lines = [columns, *rows]
    return "".join(",".join(map(_cell, line)) + "\n" for line in lines)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return str(value)
    text = " ".join(map(str, value)) if isinstance(value, list) else str(value)
    if _FORMULA.match(text):
        text = f"'{text}"
    return '"' + text.replace('"', '""') + '"' if _APART.search(text) else text
