"""The words of `weighbook begin`: questions, what it took from a spreadsheet, what to settle."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ledger.errors import count_of
from ledger.record.new_season import NewSeason
from ledger.record.roster_columns import PRIVATE
from ledger.record.roster_layout import Column, Layout
from ledger.record.roster_rows import Remark
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
    divisions="Which divisions are there? (with commas, such as Acorn, Oak; Enter: none yet)",
    limit="What may a ball carrier weigh at most in {about}, in pounds?",
    teams="Which teams play in {about}? (with commas; Enter: none yet)",
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
REMARKS = Codes(
    "remark",
    no_number="{other} has no number. The child is in players.csv without team and number: fill "
    "in both.",
    bad_number="{other}: “{about}” is not a number from 0 to 99. The child is in players.csv "
    "without team and number: fill in both.",
    leading_zero="The number is written “{about}”. weighbook keeps it without the zero.",
    not_taken="Not taken: no number and no name of a player{about_too}.",
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
    number_twice="{about}: this number is taken ({other}). The child is in players.csv without "
    "team and number: fill in both.",
    two_divisions="{about} is in another division here: {other}. The first one counts.",
    two_associations="{about} is of another association here: {other}. The first one counts.",
    on_two_teams="{about} is on another team too ({other}). They are taken as two children. If it "
    "is one child, delete one row of players.csv and use roster_add in a day file.",
    no_roster="No roster found on this sheet; left out. To take it, name its columns with "
    "--column.",
    skipped="Left out, as you asked.",
)
HARMLESS = frozenset({"leading_zero", "section", "team_from_above", "skipped"})
"""Remarks that ask nothing of anybody."""


def question(what: str, about: str, choices: Sequence[str]) -> str:
    """The question, with the thing it is about."""
    return _QUESTIONS[what].format(about=about, choices=join(choices, "or"))


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


def remark_words(remark: Remark) -> str:
    """One remark, with its sheet and row."""
    where = printable(remark.sheet) + (f", row {remark.row}" if remark.row else "")
    about_too = f" (“{remark.about}”)" if remark.about else ""
    words: Mapping[str, str] = {
        "about": remark.about,
        "other": remark.other,
        "about_too": about_too,
    }
    return f"{where}: {printable(REMARKS[remark.code].format(**words))}"


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
