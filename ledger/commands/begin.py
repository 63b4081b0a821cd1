"""weighbook begin FOLDER"""

from __future__ import annotations

import shlex
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import FILE, NEW_FOLDER, show_lines, to_stderr
from ledger.errors import InputError
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.beginning import Plan
    from ledger.actions.season_questions import AskForSeasonError, Key, Wanted

_USES = ("number", "name", "team", "division", "association")


@click.command(short_help="Begin a season: write a new season folder.")
@click.argument("folder", type=NEW_FOLDER, required=False, metavar="FOLDER")
@click.option("--league", metavar="NAME", help="The league's name.")
@click.option("--season", metavar="YEAR", help="The season.")
@click.option("--time-zone", metavar="ZONE", help="Such as America/Chicago.")
@click.option("--registrar", metavar="NAME", help="The registrar's name.")
@click.option(
    "--division",
    "divisions",
    nargs=2,
    multiple=True,
    metavar="NAME POUNDS",
    help="A division and the limit for ball carriers.",
)
@click.option(
    "--team",
    "teams",
    nargs=2,
    multiple=True,
    metavar="NAME DIVISION",
    help="A team and its division.",
)
@click.option(
    "--from",
    "rosters",
    type=FILE,
    multiple=True,
    help="A spreadsheet with rosters, .xlsx or CSV.",
)
@click.option(
    "--column",
    "columns",
    type=(click.Choice(_USES), str),
    multiple=True,
    metavar="USE COLUMN",
    help=f"Which column has what, such as: number B. USE: {', '.join(_USES)}. COLUMN: letter, "
    "heading, or none.",
)
@click.option("--skip", "skipped", multiple=True, metavar="SHEET", help="Leave this sheet out.")
@click.option("--practice", is_flag=True, help="A small invented season to try weighbook with.")
def begin(
    folder: Path | None,
    league: str | None,
    season: str | None,
    time_zone: str | None,
    registrar: str | None,
    divisions: tuple[tuple[str, str], ...],
    teams: tuple[tuple[str, str], ...],
    rosters: tuple[Path, ...],
    columns: tuple[tuple[str, str], ...],
    skipped: tuple[str, ...],
    practice: bool,
) -> None:
    """Write a new season folder: league.toml with every rule explained, and the
    tables. weighbook asks for what the options do not say.

    With --from, it reads rosters from a spreadsheet, in any column order, and shows
    which column it takes for what. Birth dates and weights are left out.

    Example: weighbook begin fall --from rosters.xlsx
    """
    from ledger.actions.beginning import begin as write_folder
    from ledger.actions.beginning import plan, practice_plan, to_settle
    from ledger.actions.season_questions import Wanted
    from ledger.outputs import refuse_taken_folder
    from ledger.record.spreadsheet import read_sheets
    from ledger.say.begin_words import done_lines

    if folder is None:
        typed = "".join(f" --from {shlex.quote(str(path))}" for path in rosters)
        hint = f"Type: weighbook begin FOLDER{typed}, such as fall for FOLDER."
        raise InputError("name the new folder to write", hint=hint)
    refuse_taken_folder(folder)

    if practice:
        from ledger.say.practice import practice_words

        write_folder(folder, practice_plan(time_zone))
        click.echo(f"Wrote {folder}, an invented season to try things with. Type:")
        click.echo("\n".join(f"  {line}" for line in practice_words(shlex.quote(str(folder)))))
        return
    answers: dict[Key, str] = {
        (what, ""): text
        for what, text in {
            "league": league,
            "season": season,
            "time_zone": time_zone,
            "registrar": registrar,
        }.items()
        if text is not None
    }
    answers |= {("limit", name): pounds for name, pounds in divisions}
    answers |= {(f"column_{use}", ""): column for use, column in columns}
    answers |= {("skip", sheet): "" for sheet in skipped}
    wanted = Wanted(answers, tuple(name for name, _ in divisions), teams)
    sheets = [sheet for path in rosters for sheet in read_sheets(path)]
    planned = _answered(partial(plan, sheets=sheets), wanted)
    _say_read(planned)
    if rosters and sys.stdin.isatty():
        click.confirm(f"Write {folder}?", default=True, abort=True, err=True)
    write_folder(folder, planned)
    click.echo(
        "\n".join(done_lines(shlex.quote(str(folder)), planned.season, len(to_settle(planned))))
    )


def _answered(make: Callable[[Wanted], Plan], wanted: Wanted) -> Plan:
    """Plan with each answer that is asked for: at the terminal, or else the default."""
    from ledger.actions.season_questions import AskForSeasonError

    while True:
        try:
            return make(wanted)
        except AskForSeasonError as asked:
            answer = _ask(asked)
            answers = {**wanted.answers, (asked.what, asked.about): answer}
            wanted = replace(wanted, answers=answers)


def _ask(asked: AskForSeasonError) -> str:
    from ledger.say.begin_words import column_lines

    if not sys.stdin.isatty():
        if asked.default is not None and not asked.problem:
            return asked.default
        told = f"{asked.message} {asked.problem}".strip()
        lines = [told, *column_lines(asked.columns)] if asked.columns else [told]
        raise InputError("\n".join(lines), hint=asked.hint) from asked
    if asked.problem:
        to_stderr(asked.problem if asked.problem.endswith("?") else f"{asked.problem}.")
    if asked.columns:
        to_stderr("\n".join([asked.message, *column_lines(asked.columns)]))
    label, suffix = ("Column", ": ") if asked.columns else (asked.message, " ")
    shown = bool(asked.default)
    answer = click.prompt(
        label, default=asked.default, show_default=shown, prompt_suffix=suffix, err=True
    )
    return str(answer).strip()


def _say_read(planned: Plan) -> None:
    """Show which column was taken for what, and every row that was not taken as it stands."""
    from ledger.say.begin_words import taken_lines
    from ledger.say.roster_remarks import remark_lines

    for one in planned.read.taken:
        show_lines(taken_lines(one.sheet, one.layout, one.team, one.count))
    for line in remark_lines(planned.read.remarks):
        click.echo(paragraph(line, hang=2))
