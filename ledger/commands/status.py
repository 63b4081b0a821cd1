"""weighbook status"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import opened, show_lines, store_option, table_text
from ledger.commands.typed import GAME
from ledger.errors import count_of
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.status import Status


@click.command(short_help="Where the season and each game stand now.")
@click.argument("game", type=GAME, required=False)
@store_option
def status(game: str | None, store: Path) -> None:
    """Show what the ledger contains and where each game stands now: kickoff and
    site, who is weighed, signatures, and steps that are missing. It also says how
    many events came after the last signature with a key. With GAME, show that game
    and who signed.

    Examples: weighbook status; weighbook status acorn-1a
    """
    if game is not None:
        _one(game, store)
        return
    from ledger.actions.status import status as look
    from ledger.say.clock import local_time
    from ledger.say.corrected_rows import corrected, correction_content
    from ledger.say.status import season_lines

    with opened(store) as ledger:
        held = look(ledger)
    click.echo(f"{held.league}, season {held.season} ({held.zone})")
    if held.closed_at:
        click.echo(f"The season was closed {local_time(held.closed_at, held.zone)}.")
    for chain in held.chains:
        length = count_of(chain.length, "event")
        click.echo(f"Chain {chain.chain}: {length}; its head is {chain.head[:16]}…")
        if chain.since:
            since = local_time(chain.since, held.zone)
            click.echo(f"  not yet witnessed: {count_of(chain.unwitnessed, 'event')} since {since}")
        else:
            click.echo("  all of it is witnessed by a countersignature")
    teams = [(one.team, one.name, one.division, one.association or "–") for one in held.teams]
    click.echo()
    click.echo(table_text(teams, ("Team", "Name", "Division", "Association")))
    click.echo()
    show_lines(season_lines(held.games, held.entries, held.zone))
    click.echo("\nweighbook status GAME says who signed, and what is missing.")
    if lines := _signed_lines(held):
        click.echo("\n".join(["", "Signed lists", *(f"  {line}" for line in lines)]))
    if held.corrections:
        told = [corrected(correction_content(one, str), held.zone) for one in held.corrections]
        click.echo("\n".join(["", "Corrected tables", *(f"  {line}" for line in told)]))


def _one(game: str, store: Path) -> None:
    from ledger.actions.status import game_status
    from ledger.say.status import game_lines

    with opened(store) as ledger:
        state, zone = game_status(ledger, game)
    for line in game_lines(state, zone):
        click.echo(paragraph(line, hang=2))


def _signed_lines(held: Status) -> list[str]:
    """A line for each game whose signatures the ledger keeps; a count of those on paper only."""
    kept = {game: lists for game, lists in held.signed.items() if lists}
    lines = []
    if kept:
        from ledger.say.signing import states_of_game

        lines = [f"{game}: {states_of_game(lists)}" for game, lists in kept.items()]
    sheets = len(held.signed) - len(kept)
    return [*lines, f"{count_of(sheets, 'game')} signed on the sheet only"] if sheets else lines
