"""weighbook exposure [GAME]"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from ledger.commands.shared import format_option, moment_options, opened, show, store_option
from ledger.say.lines import short_id

TABLE = {  # all of them are wider than 80 columns
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
_FAR = {"plays_short": "Plays\nshort", "worst_short": "Most", "uncounted": "No\ncount"}
BY_TEAM = {
    "team": "Team",
    "games": "Games",
    "due": "Due",
    "met": "Met",
    "short": "Short",
    **_FAR,
    "late": "Late",
}
BY_PLAYER = {
    "team": "Team",
    "number": "No.",
    "player": "Player",
    "due": "Due",
    "short": "Short",
    **_FAR,
    "late": "Late",
}


@click.command(short_help="Who had the plays that are due to them.")
@click.argument("game", required=False)
@click.option("--by", type=click.Choice(["team", "player"]), help="Totals of the season.")
@store_option
@moment_options
@format_option
def exposure(
    game: str | None,
    by: str | None,
    store: Path,
    as_of: str | None,
    known_at: str | None,
    form: str,
) -> None:
    """Who had the plays that are due to them, in a game or in all of them.

    Status: met, short; excused, released from the minimum; uncounted, nobody
    counted the team's plays; not_required, the player may not play.

    With --by, the season's totals, players and games added up: how often plays
    were due, met, short; how many were short in all, and at most; how often
    nobody counted; how often players came late.

    Example: weighbook exposure acorn-3b; weighbook exposure --by team
    """
    from ledger.commands.clock import say_moment_of
    from ledger.commands.shared import wrong
    from ledger.derive.answers import ask

    if game and by:
        raise wrong(f"both a game ({game}) and --by {by}", "Give a game, or --by for the season.")
    with opened(store) as ledger:
        name = f"exposure_by_{by}" if by else "exposure"
        asked = ask(ledger, name, game=game, as_of=as_of, known_at=known_at)
    rows, left_out = asked.answer.dicts(), 0
    if form == "table":
        rows = [row | {"player": short_id(row.get("player"))} for row in rows]
    if form == "table" and by == "player":
        whole = len(rows)
        rows = [row for row in rows if row["short"] or row["uncounted"] or row["late"]]
        left_out = whole - len(rows)
    show(asked.answer.columns, rows, form, table=_table(game, by), empty=_empty(game))
    if form == "table":
        say_moment_of(asked)
    if left_out:
        click.echo(f"Not shown: {left_out} who were never short, always counted and never late.")


def _table(game: str | None, by: str | None) -> Mapping[str, str]:
    if by:
        return BY_TEAM if by == "team" else BY_PLAYER
    narrow = "game" if game else "may_play"
    return {key: heading for key, heading in TABLE.items() if key != narrow}


def _empty(game: str | None) -> str:
    return f"{game}: no rows." if game else "Nobody may play in any game yet."
