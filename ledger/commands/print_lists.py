"""weighbook print list, blank-list"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option


@click.command("list", short_help="A team's ineligible list of a game, to sign.")
@click.argument("game")
@click.argument("team")
@to_option
@store_option
@moment_options
def list_(
    game: str, team: str, to: Path, store: Path, as_of: str | None, known_at: str | None
) -> None:
    """The ineligible list of TEAM in GAME, for both sides to sign. weighbook status
    lists games and teams.

    Example: weighbook print list acorn-1a newts --to list.pdf
    """
    from ledger.papers.sheets.lists import list_sheet

    with opened(store) as ledger:
        sheet = list_sheet(ledger, game, team, as_of=as_of, known_at=known_at)
    write(sheet, to)


@click.command("blank-list", short_help="The empty form, for a morning without the device.")
@click.argument("team")
@click.option("--game", help="For this game; else for the next one not weighed yet.")
@to_option
@store_option
def blank_list(team: str, game: str | None, to: Path, store: Path) -> None:
    """The empty weigh-in form with TEAM's roster on it, for a morning
    without the device. weighbook status lists games and teams.

    Example: weighbook print blank-list newts --to blank.pdf
    """
    from ledger.derive.scope import is_weighed
    from ledger.papers.sheets.lists import blank_sheet

    with opened(store) as ledger:
        sheet = blank_sheet(ledger, team, game)
        head = sheet.context["paper"].head
        none_left = not game and is_weighed(ledger, head.game)
    write(sheet, to)
    click.echo(f"It is for {head.game}: {head.visitor} at {head.home}, {head.kickoff}.")
    if none_left:
        click.echo(f"That game has been weighed already: {team} has no game left.", err=True)
    if head.is_off:
        click.echo("That game is off.", err=True)
