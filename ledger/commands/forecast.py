"""weighbook forecast GAME"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import format_option, moment_options, opened, show, store_option
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

NOBODY_YET = "no plays are due to anybody yet; nobody has been weighed."


@click.command(short_help="Who is still short of plays, and the chance to get them.")
@click.argument("game")
@store_option
@moment_options
@format_option
def forecast(game: str, store: Path, as_of: str | None, known_at: str | None, form: str) -> None:
    """Who is still short of the plays due while a game is under way, who must
    go in more often, and the chance to get there at the present share.

    Late players, who have the second half only, come first. A forecast, not a
    finding; it is as good as the counts that were stated.

    Example: weighbook forecast acorn-3b --as-of "2026-09-19 15:30"
    """
    from ledger.derive.forecast_input import forecast as ask

    with opened(store) as ledger:
        now, answer = ask(ledger, game, as_of=as_of, known_at=known_at)
    if form == "json":
        players = [row.content() for row in answer.players]
        whole = {"game": game, "players": players, "method": answer.method}
        click.echo(json.dumps(whole, ensure_ascii=False, indent=1))
        return
    if form == "csv":
        rows = [row.content() for row in answer.players]
        show(list(rows[0]) if rows else [], rows, form, table={}, empty="")
        return
    for heading, late in (("Second half only:", True), ("The whole game:", False)):
        group = [row for row in answer.players if (row.may_play == "second_half") == late]
        if group:
            click.echo(heading)
            show([], [_cells(row) for row in group], form, table=TABLE, empty="")
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
