"""weighbook exposure [GAME]"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from ledger.commands.shared import (
    format_option,
    moment_options,
    opened,
    short_id,
    show,
    store_option,
)

TABLE = {
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
    "due": "Due",
    "met": "Met",
    "short": "Short",
    "excused": "Excused",
    "uncounted": "Not counted",
    "plays_short": "Plays short",
    "worst_short": "Worst",
    "late": "Late",
}
BY_TEAM = {"team": "Team", "games": "Games", **_TOTALS}
BY_PLAYER = {"team": "Team", "number": "No.", "player": "Player", **_TOTALS}


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

    With --by, the season's totals: how often plays were due, met, short; how
    many plays were short in all and at worst; how often players came late.

    Example: weighbook exposure acorn-3b; weighbook exposure --by team
    """
    from ledger.commands.shared import wrong
    from ledger.derive.engine import Engine
    from ledger.derive.scope import read_game, read_season

    if game and by:
        raise wrong(f"both a game ({game}) and --by {by}", "Give a game, or --by for the season.")
    with opened(store) as ledger:
        events = read_game(ledger, game) if game else read_season(ledger)
        engine = Engine(events, as_of=as_of, known_at=known_at)
    answer = engine.answer(f"exposure_by_{by}" if by else "exposure", game=game)
    rows, left_out = answer.dicts(), 0
    if form == "table":
        rows = [row | {"player": short_id(row.get("player"))} for row in rows]
    if form == "table" and by == "player":
        whole = len(rows)
        rows = [row for row in rows if row["short"] or row["uncounted"] or row["late"]]
        left_out = whole - len(rows)
    show(answer.columns, rows, form, table=_table(game, by), empty=_empty(game))
    if left_out:
        click.echo(f"Not shown: {left_out} with every play due counted and met, never late.")


def _table(game: str | None, by: str | None) -> Mapping[str, str]:
    if by:
        return BY_TEAM if by == "team" else BY_PLAYER
    return {key: heading for key, heading in TABLE.items() if key != "game" or not game}


def _empty(game: str | None) -> str:
    return f"{game}: nobody; is it off?" if game else "Nobody may play in any game yet."
