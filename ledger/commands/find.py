"""weighbook find TEXT"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.commands.shared import format_option, opened, show, store_option

if TYPE_CHECKING:
    from ledger.actions.finding import Hit

TABLE = {"what": "What", "id": "Id", "name": "Name", "teams": "Team and number", "about": "More"}


@click.command(short_help="Find a player, official, team, game or case.")
@click.argument("text")
@click.option("--names", is_flag=True, help="Show children's names.")
@store_option
@format_option
def find(text: str, names: bool, store: Path, form: str) -> None:
    """Find the id of a player, an official, a team, a game or a case.

    TEXT is a name or its beginning, a number, a team and a number, part of an id,
    or a day. Capitals and accents do not count. Children's names stay hidden
    unless you ask for them.

    Examples: weighbook find quill; weighbook find "newts 12"; weighbook find 9/5
    """
    from ledger.actions.finding import find as look
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        found = look(ledger, text)
        zone = league_zone(ledger)
    rows = [_row(hit, "" if form == "json" else zone, names=names) for hit in found]
    show(tuple(TABLE), rows, form, table=TABLE, empty=f"Nothing found for '{text}'.", zone=zone)


def _row(hit: Hit, zone: str, *, names: bool) -> dict[str, Any]:
    from ledger.say.clock import local_time

    is_child = hit.what == "player"
    said = [f"{team} {number}" if number is not None else team for team, number in hit.teams]
    about = local_time(hit.about, zone) if zone and hit.what == "game" else hit.about
    return {
        "what": hit.what,
        "id": hit.id,
        "name": hit.name if hit.name and (names or not is_child) else None,
        "teams": " at ".join(said) if hit.what == "game" else ", ".join(said) or None,
        "about": about or None,
    }
