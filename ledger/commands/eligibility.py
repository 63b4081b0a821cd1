"""weighbook eligibility GAME"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.asking import asked_names, names_option
from ledger.commands.shared import answer_options, opened, say_moment_of, show, to_stderr
from ledger.commands.typed import game_argument
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
@game_argument
@names_option
@answer_options
def eligibility(game: str, store: Path, form: str, **moments: str | None) -> None:
    """Show who may play and who may carry the ball in a game.

    "By" says what decides. scale and late_scale: the weigh that counts. book:
    the first-game mark, when the scale is out. declared: listed as over
    beforehand. ruling: a reviewer's ruling. none: not weighed.

    Example: weighbook eligibility acorn-1a --as-of "2026-09-05 09:30"
    """
    from ledger.derive.answers import ask
    from ledger.derive.called_off import called_off
    from ledger.say.status import off_words

    with opened(store) as ledger:
        asked = ask(ledger, "eligibility", game=game, **moments)
        names = asked_names(ledger)
    rows = asked.answer.dicts()
    none = f"{game}: no rows."
    if off := called_off(asked.engine, game):
        none = off_words(game, off["stated_by"], off["happened_at"], asked.zone)
        none += "\nNobody plays or carries in it, and its weighs count for nothing."
        if form != "table":
            to_stderr(none)
    if form == "table":
        rows = [row | {"player": short_id(row["player"])} for row in rows]
    show(
        asked.answer.columns,
        rows,
        form,
        table=TABLE,
        empty=none,
        zone=asked.zone,
        names=names,
    )
    if form == "table":
        say_moment_of(asked)
