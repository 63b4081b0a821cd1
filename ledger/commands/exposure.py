"""weighbook exposure [GAME]"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from ledger.commands.asking import asked_names, names_option
from ledger.commands.shared import answer_options, opened, say_moment_of, show
from ledger.commands.typed import GAME
from ledger.errors import InputError
from ledger.say.lines import short_id

TABLE = {  # all of these together are wider than 80 columns
    "game": "Game",
    "team": "Team",
    "number": "No.",
    "player": "Player",
    "may_play": "May play",
    "required": "Due",
    "recorded": "Had",
    "short": "Short",
    "status": "Status",
}
_TOTALS = {
    "short": "Short",
    "plays_short": "Plays\nshort",
    "worst_short": "Most",
    "uncounted": "No\ncount",
    "late": "Late",
}
BY_TEAM = {"team": "Team", "games": "Games", "due": "Due", "met": "Met", **_TOTALS}
BY_PLAYER = {"team": "Team", "number": "No.", "player": "Player", "due": "Due", **_TOTALS}


@click.command(short_help="Who got the plays they are due.")
@click.argument("game", type=GAME, is_eager=True, required=False)
@click.option("--by", type=click.Choice(["team", "player"]), help="Show the season's totals.")
@names_option
@answer_options
def exposure(
    game: str | None, by: str | None, store: Path, form: str, **moments: str | None
) -> None:
    """Show who got the plays they are due, in one game or in all of them.

    Status: met; short; excused (from the minimum); uncounted (nobody
    counted the team's plays); not_required (the player may not play).

    --by adds up the season: how often plays were due, met or short; how many
    were short in all, and the most in one game; how often nobody counted; how
    often players came late.

    Examples: weighbook exposure acorn-3b; weighbook exposure --by team
    """
    from ledger.derive.answers import ask

    if game and by:
        hint = "Name a game, or use --by for the season."
        raise InputError(f"both a game ({game}) and --by {by} are given", hint=hint)
    with opened(store) as ledger:
        name = f"exposure_by_{by}" if by else "exposure"
        asked = ask(ledger, name, game=game, **moments)
        names = None if by == "team" else asked_names(ledger)
    rows, left_out = asked.answer.dicts(), 0
    if form == "table":
        rows = [row | {"player": short_id(row.get("player"))} for row in rows]
    if form == "table" and by == "player":
        whole = len(rows)
        rows = [row for row in rows if row["short"] or row["uncounted"] or row["late"]]
        left_out = whole - len(rows)
    show(
        asked.answer.columns,
        rows,
        form,
        table=_table(game, by),
        empty=_empty(game),
        zone=asked.zone,
        names=names,
    )
    if form == "table":
        say_moment_of(asked)
    if left_out:
        click.echo(f"Not shown: {left_out} players who were never short, uncounted or late.")


def _table(game: str | None, by: str | None) -> Mapping[str, str]:
    if by:
        return BY_TEAM if by == "team" else BY_PLAYER
    narrow = "game" if game else "may_play"
    return {key: heading for key, heading in TABLE.items() if key != narrow}


def _empty(game: str | None) -> str:
    return f"{game}: no rows." if game else "Nobody may play in any game yet."
