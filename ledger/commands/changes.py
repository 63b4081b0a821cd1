"""weighbook changes GAME"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import (
    opened,
    show_json,
    show_lines,
    store_option,
    text_or_json_option,
    utc_text,
)
from ledger.commands.typed import game_argument
from ledger.errors import InputError
from ledger.say.lines import paragraph


@click.command(short_help="What changed in a game between two moments, and why.")
@game_argument
@store_option
@click.option(
    "--from", "since", required=True, callback=utc_text, metavar="TIME", help="Start after this."
)
@click.option("--to", "until", callback=utc_text, metavar="TIME", help="Stop at this.")
@click.option("--known", is_flag=True, help="Use the ledger's clock, not the times entered.")
@text_or_json_option
def changes(game: str, store: Path, since: str, until: str | None, known: bool, form: str) -> None:
    """Show what changed between two moments in who may play and carry in a game,
    and which entries changed it. Withdrawn entries are included.

    Example: weighbook changes acorn-2a --from "2026-09-12 08:50" --to
    "2026-09-12 09:00"
    """
    from ledger.derive.changes import Clock, find_changes
    from ledger.derive.scope import read_game
    from ledger.say.changes import changes_content, changes_lines
    from ledger.say.moments import behind_note, dated_before_note
    from ledger.say.names import Names
    from ledger.store.league import league_zone

    if until and until < since:
        raise InputError("--from is later than --to", hint="Give --from the earlier time.")
    clock: Clock = "recorded" if known else "entered"
    with opened(store) as ledger:
        events = read_game(ledger, game)
        names = Names(ledger, [stored.event for stored in events])
        zone = league_zone(ledger)
    found = find_changes(events, game, since=since, until=until, clock=clock)
    span = {"from": since, "to": until, "clock": clock}
    content = changes_content(found, game, span, zone, names.of)
    if form == "json":
        show_json(content)
        return
    show_lines(changes_lines(content, zone))
    if not known and (note := dated_before_note(events, game, since, until, zone)):
        click.echo(paragraph(note))
    if note := behind_note(events, game):
        click.echo(paragraph(note))
