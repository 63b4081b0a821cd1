"""weighbook why GAME PLAYER"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import (
    moment_options,
    opened,
    say_moment,
    show_json,
    show_lines,
    store_option,
    text_or_json_option,
)
from ledger.commands.typed import TEAM, game_argument


@click.command(short_help="Why a player may or may not play and carry.")
@game_argument
@click.argument("player", required=False)
@click.option("--team", type=TEAM, help="The player's team, with --number instead of PLAYER.")
@click.option("--number", type=click.IntRange(0, 99), help="The player's number in this game.")
@store_option
@moment_options
@text_or_json_option
def why(
    game: str,
    player: str | None,
    team: str | None,
    number: int | None,
    store: Path,
    form: str,
    **moments: str | None,
) -> None:
    """Explain why a player may or may not play and carry the ball in a game: the
    answer in one sentence, what it rests on, the rule, and what would change it.

    Examples: weighbook why acorn-2a "newts 62"; weighbook why acorn-2a k502
    --as-of "9/12/2026 8:50 am"
    """
    from ledger.actions.typed import refuse_player_alone, team_and_number
    from ledger.derive.scope import read_game
    from ledger.derive.why import explain
    from ledger.say.names import Names
    from ledger.say.why import why_content, why_lines
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        if player and (said := team_and_number(ledger, player)):
            player, (team, number) = None, said
        if not player and number is None:
            refuse_player_alone(ledger, game)
        events = read_game(ledger, game, **moments)
        zone = league_zone(ledger)
        as_of, known_at = moments["as_of"], moments["known_at"]
        read = [stored.event for stored in events]
        names = Names(ledger, read, as_of=as_of, known_at=known_at)
    answer = explain(events, game, player=player, team=team, number=number, **moments)
    if form == "json":
        show_json(why_content(answer, names.of))
        return
    show_lines(why_lines(answer, names.of))
    say_moment(events, zone, game, **moments)
