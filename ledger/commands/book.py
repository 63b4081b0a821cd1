"""weighbook book TEAM"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.asking import asked_names, names_option
from ledger.commands.shared import answer_options, opened, say_moment_of, show
from ledger.commands.typed import team_argument

TABLE = {
    "number": "No.",
    "player": "Player",
    "mark": "Mark",
    "initials": "Initials",
    "game": "Game",
    "by": "By",
    "day": "Day",
}


@click.command(short_help="A team's book of first-game marks.")
@team_argument
@names_option
@answer_options
def book(team: str, store: Path, form: str, **moments: str | None) -> None:
    """Show a team's book: each player's first-game mark, and who initialed it.

    If a scale breaks, this mark decides who may carry the ball.

    Example: weighbook book newts
    """
    from ledger.derive.answers import ask
    from ledger.say.clock import local_day

    with opened(store) as ledger:
        asked = ask(ledger, "book", team=team, **moments)
        names = asked_names(ledger)
    rows = asked.answer.dicts()
    if form == "table":
        say_moment_of(asked)
        rows = [row | {"day": row["at"] and local_day(row["at"], asked.zone)} for row in rows]
    show(
        asked.answer.columns,
        rows,
        form,
        table=TABLE,
        empty=f"{team}: nobody is on the roster.",
        zone=asked.zone,
        names=names,
    )
