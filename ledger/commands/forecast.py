"""weighbook forecast GAME"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import asked_names, names_option
from ledger.commands.shared import answer_options, opened, show, show_json
from ledger.commands.typed import game_argument
from ledger.say.lines import paragraph, short_id

if TYPE_CHECKING:
    from ledger.derive.forecast_rows import PlayerForecast

TABLE = {
    "team": "Team",
    "who": "No.",
    "due": "Still due",
    "left": "Snaps left",
    "needed": "Share\nneeded",
    "present": "Share\nso far",
    "chance": "Chance",
}

NOBODY_YET = "no plays are due yet; nobody has been weighed."


@click.command(short_help="Who still needs plays, and the chance of getting them.")
@game_argument
@names_option
@answer_options
def forecast(game: str, store: Path, form: str, **moments: str | None) -> None:
    """Show who still needs plays in a game under way, who must go in more often,
    and the chance of getting there at the present pace.

    Late players come first: they have only the second half. This is a forecast,
    not a finding. It is only as good as the counts that were entered.

    Example: weighbook forecast acorn-3b --as-of "2026-09-19 15:30"
    """
    from ledger.derive.forecast_input import forecast as ask
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        now, answer = ask(ledger, game, **moments)
        names, zone = asked_names(ledger), league_zone(ledger)
    if form == "json":
        players = [row.content() for row in answer.players]
        show_json({"game": game, "players": players, "method": answer.method})
        return
    if form == "csv":
        rows = [row.content() for row in answer.players]
        show(
            list(rows[0]) if rows else [], rows, form, table=TABLE, empty="", zone=zone, names=names
        )
        return
    for heading, late in (("Second half only:", True), ("The whole game:", False)):
        group = [row for row in answer.players if (row.may_play == "second_half") == late]
        if group:
            click.echo(heading)
            show([], [_cells(row) for row in group], form, table=TABLE, empty="", names=names)
    if not answer.players:
        click.echo(f"{game}: " + ("nobody is short of plays." if now.players else NOBODY_YET))
    for reason in dict.fromkeys(row.reason for row in answer.players if row.reason):
        click.echo(paragraph(f"– {reason}", hang=2))
    for text in ("", *answer.method):
        click.echo(paragraph(text))


def _cells(row: PlayerForecast) -> dict[str, str | int | None]:
    from ledger.derive.forecast_rows import percent

    def share(value: float | None) -> str | None:
        return None if value is None else percent(value)

    left = None
    if row.expected_left is not None:
        left = f"{row.expected_left:.0f} ({row.left_low} to {row.left_high})"
    return {
        "team": row.team,
        "who": short_id(row.player) if row.number is None else row.number,
        "due": "–" if row.still_due is None else f"{row.still_due} of {row.required}",
        "left": left,
        "needed": share(row.share_needed),
        "present": share(row.present_share),
        "chance": share(row.chance),
    }
