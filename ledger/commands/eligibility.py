"""weighbook eligibility GAME"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import format_option, moment_options, opened, show, store_option
from ledger.say.lines import short_id

TABLE = {
    "team": "Team",
    "number": "No.",
    "player": "Player",
    "may_play": "May play",
    "may_carry": "May carry",
    "basis": "By",
    "listed": "Listed",
}


@click.command(short_help="Who may play and who may carry in a game.")
@click.argument("game")
@store_option
@moment_options
@format_option
def eligibility(game: str, store: Path, as_of: str | None, known_at: str | None, form: str) -> None:
    """Who may play and who may carry the ball in a game, by the ledger.

    By: scale and late_scale, the weigh that counts; book, the first-game mark
    where the scale was out; declared, listed over beforehand; ruling, decided
    by a reviewer; none, not weighed. People decide; this is what was written.

    Example: weighbook eligibility acorn-1a --as-of "2026-09-05 09:30"
    """
    from ledger.commands.clock import say_moment_of
    from ledger.derive.answers import ask

    with opened(store) as ledger:
        asked = ask(ledger, "eligibility", game=game, as_of=as_of, known_at=known_at)
    rows = asked.answer.dicts()
    if form == "table":
        rows = [row | {"player": short_id(row["player"])} for row in rows]
    show(asked.answer.columns, rows, form, table=TABLE, empty=f"{game}: no rows.")
    if form == "table":
        say_moment_of(asked)
