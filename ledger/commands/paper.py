"""weighbook sheet GAME TEAM, and weighbook enter FILE: a weigh-in that was kept on paper.

enter also takes what a device could not send (`ledger.commands.saved_taps`).
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from ledger.commands.asking import answered, despite_option, note_is_fine_option
from ledger.commands.saved_taps import enter_saved_file
from ledger.commands.shared import (
    FILE,
    NEW_FILE,
    chain_option,
    opened,
    store_option,
    store_words,
    table_text,
)
from ledger.commands.typed import OFFICIAL, game_argument, team_argument
from ledger.errors import InputError, count_of
from ledger.say.lines import paragraph


@click.command(short_help="A sheet to type a paper weigh-in into.")
@game_argument
@team_argument
@click.option("--to", required=True, type=NEW_FILE, help="The new CSV file to write.")
@click.option("--names", is_flag=True, help="Put the children's names beside their numbers.")
@store_option
def sheet(game: str, team: str, to: Path, names: bool, store: Path) -> None:
    """Write a sheet into which you type TEAM's paper list of GAME, with a line for
    each player and the columns of the printed form.

    Open it in a spreadsheet program. Put x into a box that is marked on paper, and
    the time, such as 8:41. Type a player who is not on the roster into one of the
    empty lines, with number and name. Leave empty what is empty on paper. Save it,
    and record it with weighbook enter.

    Some lines are about the scale. "at the scale" has a time and, under By, who
    stood there: one line for each person. "scale check" has the time, what the
    scale read with the check weight (Reads lb), and what it was set to (Limit lb).
    "scale out of use" has its time and, under Note, why.

    Example: weighbook sheet acorn-7a newts --to sheet.csv
    """
    from ledger.actions.paper import write_sheet

    with opened(store) as ledger:
        count = write_sheet(ledger, game, team, to, with_names=names)
    click.echo(f"Wrote {to} with {count_of(count, 'player')} of {team}.")
    click.echo(f"Fill it in, and then: weighbook enter {to} --by WHO{store_words()}")


def _initials(
    ctx: click.Context, option: click.Parameter, values: tuple[str, ...]
) -> dict[str, str]:
    pairs = [value.partition("=") for value in values]
    wrong = next((value for value, pair in zip(values, pairs, strict=True) if not all(pair)), None)
    if wrong is not None:
        hint = "Type initials, = and the official, such as --initials MW=marmots-wm3."
        raise InputError(f"--initials: found '{wrong}'", hint=hint)
    return {mark: OFFICIAL.convert(official, option, ctx) for mark, _, official in pairs}


@click.command(short_help="Record a sheet filled in from paper, or what a phone saved.")
@click.argument("sheet", type=FILE)
@click.option(
    "--by", type=OFFICIAL, help="The official who weighed, of the other team; not who types."
)
@click.option(
    "--initials",
    multiple=True,
    callback=_initials,
    metavar="MARK=OFFICIAL",
    help="Who wrote these initials, if not --by. May be repeated.",
)
@click.option("--time", default="", help="The time of lines without one, such as 8:45.")
@click.option("--yes", is_flag=True, help="Do not ask for confirmation.")
@note_is_fine_option
@despite_option
@store_option
@chain_option
def enter(
    sheet: Path,
    by: str | None,
    initials: dict[str, str],
    time: str,
    yes: bool,
    store: Path,
    chain: str,
) -> None:
    """Record what was typed into a sheet (weighbook sheet), with the paper's times.

    First, weighbook shows what it will record, and asks. All of it is recorded, or
    nothing. A time without a day is of the game's day. "over" also puts the player
    on the list. A late player who was absent, or had gear missing, is struck off.

    You may enter a sheet again when you have added to it: what the ledger already
    holds is not recorded twice. A line that you change is a new entry beside the
    old one: withdraw the old one.

    A file that the page saved ("Save what waits") already says who tapped, and when.
    It needs no --by. What the ledger already holds is not recorded twice here either.

    Example: weighbook enter sheet.csv --by marmots-wm3 --initials NK=newts-wm1
    """
    from ledger.actions.paper import enter_sheet, look_at_sheet
    from ledger.actions.saved_taps import is_saved_file
    from ledger.say import paper as say

    if is_saved_file(sheet):
        if by or initials or time:
            raise click.UsageError(
                "This file already says who tapped, and when. Leave out --by, --initials, --time."
            )
        enter_saved_file(sheet, store, chain, yes=yes)
        return
    if not by:
        raise click.UsageError("Missing option '--by'.")

    with opened(store) as ledger:
        look = partial(look_at_sheet, ledger, sheet, by=by, time=time, initials=initials)
        paper = look(chain=chain)
        click.echo(say.about(paper.lines))
        click.echo(table_text(say.rows(paper.accepted, paper.lines, paper.zone), say.HEADINGS))
        click.echo()
        click.echo(say.days(paper.accepted, paper.zone))
        late = say.after_close(paper.accepted, paper.lines)
        other = say.otherwise(paper.otherwise, paper.zone)
        unmarked, held = say.unmarked(paper.unmarked), say.held(paper.held)
        weighed_by = say.not_other_side(paper.not_other_side)
        for line in filter(None, (weighed_by, late, unmarked, held, other)):
            click.echo(paragraph(line))
        count = count_of(len(paper.accepted), "entry", "entries")
        if not yes:
            click.confirm(f"Record {count}?", abort=True)
        go_on = "Record them all the same?"
        done = answered(partial(enter_sheet, ledger, paper), chain, go_on=go_on)
    ids = done.event_ids
    through = ids[0] if len(ids) == 1 else f"{ids[0]} to {ids[-1]}"
    click.echo(f"Recorded {count} as {through}.")
    for game in dict.fromkeys(str(one.game) for one in paper.accepted):
        click.echo(f"  What to settle: weighbook findings --game {game}{store_words()}")
    teams = dict.fromkeys((str(one.game), one.team) for one in paper.accepted if one.player)
    for game, team in teams:
        keep = f"weighbook sign {game} {team} --by WHO --ink scan.pdf --at TIME{store_words()}"
        click.echo(f"  Keep the signed paper: {keep}")
