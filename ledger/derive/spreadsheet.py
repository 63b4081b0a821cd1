"""Write CSV that a spreadsheet can open without running anything in it.

A spreadsheet takes a cell that begins with = + - @, a tab or a line break for a formula, and what
people type (initials, a site, a remark) may begin so. Such a text gets an apostrophe in front, as
does one that begins with an apostrophe: removing one apostrophe always gives the text back. Cells
with any spreadsheet's separator are quoted (RFC 4180), so no cell splits. Numbers stay numbers.

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
    "break) has an apostrophe in front, as does a text that begins with one. Remove one apostrophe "
    "to get the text as recorded."
)

# The wide forms are = + - @ to spreadsheets in East Asian settings (common practice, no source).
_FORMULA = re.compile(r"[ \u00a0]*[=+\-@\t\r\n＝＋－＠']")
_APART = re.compile(r'[",;\t\r\n|]|^\s|\s$')


def format_csv(columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """Return the rows under their columns; lists become words, None an empty cell."""
    return "".join(",".join(map(_cell, line)) + "\n" for line in (columns, *rows))


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
