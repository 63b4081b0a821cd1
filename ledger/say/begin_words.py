"""The words of `weighbook begin`: its questions, and what it took from a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.errors import count_of
from ledger.record.new_season import NewSeason
from ledger.record.roster_columns import PRIVATE
from ledger.record.roster_layout import Column, Layout
from ledger.say.codes import Codes
from ledger.say.lines import Line
from ledger.say.new_season import TO_SETTLE
from ledger.say.words import join, printable

_QUESTIONS = Codes(
    "question",
    league="What is the league called?",
    season="Which season is it?",
    time_zone="Which time zone? (such as America/New_York, America/Chicago, America/Denver, "
    "America/Los_Angeles)",
    divisions="Which divisions are there? (with commas, such as Acorn, Oak)",
    registrar="What is the registrar's name?",
    limit="What may a ball carrier weigh at most in {about}, in pounds?",
    teams="Which teams play in {about}? (with commas)",
    division="In which division does {about} play? ({choices})",
    team="Which team is on {about}?",
    column_number="{about}: which column has the players' numbers?",
    column_name="{about}: which column has the players' names? (first and last name apart: B+C)",
    column_team="{about}: which column has the team?",
    column_division="{about}: which column has the division?",
    column_association="{about}: which column has the association?",
)
_OPTIONS = Codes(
    "question",
    league="--league NAME",
    season="--season YEAR",
    time_zone="--time-zone ZONE",
    divisions="--division NAME POUNDS",
    registrar="--registrar NAME",
    limit='--division "{about}" POUNDS',
    teams="--team NAME DIVISION",
    division='--team "{about}" DIVISION',
    team="--column team COLUMN",
    column_number="--column number COLUMN",
    column_name="--column name COLUMN",
    column_team="--column team COLUMN",
    column_division="--column division COLUMN",
    column_association="--column association COLUMN",
)
_COLUMN_ANSWERS = "Answer with a column's letter, “none”, or “skip” to leave this sheet out."
_USES = Codes(
    "use of a column",
    number="number",
    name="name",
    team="team",
    division="division",
    association="association",
)
_LEFT_OUT = Codes(
    "kind of column",
    birth="birth dates: weighbook keeps none",
    weight="weights: weighbook keeps none; ok or over is all the procedure needs",
)


def question(what: str, about: str, choices: Sequence[str], *, is_optional: bool) -> str:
    """The question, with the thing it is about."""
    words = _QUESTIONS[what].format(about=about, choices=join(choices, "or"))
    return f"{words} (Enter: none yet)" if is_optional else words


def option(what: str, about: str) -> str:
    """The option that answers the question in a script."""
    return _OPTIONS[what].format(about=about)


def column_lines(columns: Iterable[Column]) -> list[str]:
    """The columns to choose from, with an example of each."""
    lines = []
    for one in columns:
        example = f"(such as {printable(one.example)})" if one.example else "(empty)"
        lines.append(" ".join(filter(None, [f"  {one.letter}:", printable(one.heading), example])))
    return [*lines, _COLUMN_ANSWERS]


def taken_lines(sheet: str, layout: Layout, team: str, count: int) -> list[Line]:
    """Which column was taken for what, and which was left out and why."""
    taken = [
        f"{_USES[use]} from {' and '.join(map(_column, columns))}"
        for use, columns in layout.by_use.items()
        if columns
    ]
    if team:
        taken.append(f"team {printable(team)}")
    lines = [Line(f"{printable(sheet)}: {join(taken)}. Players: {count}.", 0, 2)]
    for kind in PRIVATE:
        if columns := [one for one in layout.left_out if one.use == kind]:
            left_out = f"Left out: {join([*map(_column, columns)])}, {_LEFT_OUT[kind]}."
            lines.append(Line(left_out, 2, 4))
    if columns := [one for one in layout.left_out if one.use not in PRIVATE]:
        lines.append(Line(f"Left out, not needed: {join([*map(_column, columns)])}.", 2, 4))
    return lines


def done_lines(folder: str, season: NewSeason, to_settle: int) -> list[str]:
    """What was written, and what comes next."""
    held = join(
        [
            count_of(len(season.divisions), "division"),
            count_of(len(season.teams), "team"),
            count_of(len(season.players), "player"),
        ]
    )
    lines = [f"Wrote {folder}: {held}."]
    if to_settle:
        points = count_of(to_settle, "point")
        lines.append(f"Before you load it, settle {points}: see {folder}/{TO_SETTLE}.")
    return [
        *lines,
        f"Next: fill in officials.csv and games.csv, then type: weighbook load {folder}",
        "What each file holds: weighbook help season-folder",
    ]


def _column(one: Column) -> str:
    heading = f" “{printable(one.heading)}”" if one.heading else ""
    return f"column {one.letter}{heading}"
