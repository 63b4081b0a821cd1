"""weighbook status"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import opened, store_option, table_text
from ledger.errors import count_of

if TYPE_CHECKING:
    from ledger.actions.status import Status


@click.command(short_help="What the ledger contains: counts, games, teams.")
@store_option
def status(store: Path) -> None:
    """Show what the ledger contains: the league, the chains, teams and games, and
    how much of it no opponent has witnessed yet.

    Example: weighbook status
    """
    from ledger.actions.status import status as look
    from ledger.say.clock import local_time, short_time
    from ledger.say.corrected_rows import corrected, correction_content

    with opened(store) as ledger:
        held = look(ledger)
    click.echo(f"{held.league}, season {held.season} ({held.zone})")
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
    games = []
    for one in held.games:
        kickoff, sides = short_time(one.kickoff, held.zone), f"{one.visitor} at {one.home}"
        games.append((one.game, kickoff, sides, str(one.statements)))
    click.echo()
    click.echo(table_text(games, ("Game", "Kickoff as scheduled", "Teams", "Statements")))
    if lines := _signed_lines(held):
        click.echo("\n".join(["", "Signed lists", *(f"  {line}" for line in lines)]))
    if held.corrections:
        told = [corrected(correction_content(one, str), held.zone) for one in held.corrections]
        click.echo("\n".join(["", "Corrected tables", *(f"  {line}" for line in told)]))


def _signed_lines(held: Status) -> list[str]:
    """A line for each game whose signatures the ledger keeps; a count of those on paper only."""
    kept = {game: lists for game, lists in held.signed.items() if lists}
    lines = []
    if kept:
        from ledger.say.signing import states_of_game

        lines = [f"{game}: {states_of_game(lists)}" for game, lists in kept.items()]
    sheets = len(held.signed) - len(kept)
    return [*lines, f"{count_of(sheets, 'game')} signed on the sheet only"] if sheets else lines
