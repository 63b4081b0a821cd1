"""Which column of a spreadsheet was taken for what, in lines."""

from __future__ import annotations

from ledger.record.roster_layout import Column, Layout
from ledger.say.begin_words import taken_lines
from ledger.say.lines import Line

HEADINGS = ("Player", "No.", "DOB", "Weight", "Phone", "Born")
USES = ("name", "number", "birth", "weight", "", "birth")
COLUMNS = [
    Column(at, heading, use, "")
    for at, (heading, use) in enumerate(zip(HEADINGS, USES, strict=True))
]
NAME, NUMBER = ((one,) for one in COLUMNS[:2])


def test_each_column_left_out_is_named_once_with_its_reason() -> None:
    layout = Layout({"name": NAME, "number": NUMBER, "team": ()}, tuple(COLUMNS[2:]), ())
    assert taken_lines("Newts", layout, "Glimmerfen Newts", 12) == [
        Line(
            "Newts: name from column A “Player”, number from column B “No.” and team "
            "Glimmerfen Newts. Players: 12.",
            0,
            2,
        ),
        Line(
            "Left out: column C “DOB” and column F “Born”, birth dates: weighbook keeps none.",
            2,
            4,
        ),
        Line(
            "Left out: column D “Weight”, weights: weighbook keeps none; ok or over is all the "
            "procedure needs.",
            2,
            4,
        ),
        Line("Left out, not needed: column E “Phone”.", 2, 4),
    ]


def test_nothing_is_left_out() -> None:
    layout = Layout({"name": NAME, "number": NUMBER}, (), ())
    (line,) = taken_lines("Newts", layout, "", 1)
    assert (
        line.text
        == "Newts: name from column A “Player” and number from column B “No.”. Players: 1."
    )
