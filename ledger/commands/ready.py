"""weighbook ready"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import (
    answer_options,
    opened,
    say_moment,
    show,
    show_json,
    show_lines_to_copy,
    store_words,
)
from ledger.commands.typed import DATE
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.ready import Ready


@click.command(short_help="Before Saturday: what is still to settle, what to print.")
@click.option("--week", type=int, metavar="N", help="The season's N-th day with games.")
@click.option("--date", type=DATE, metavar="DATE", help="The day's local date.")
@answer_options
def ready(
    week: int | None, date: str | None, store: Path, form: str, **moments: str | None
) -> None:
    """Show what could hold up the weigh-ins of a day: who is assigned, numbers,
    rosters, marks in the book, keys, moved games, the check weight, plays owed.

    Without --week or --date: the next day with games. If a command settles
    a point, it stands below it. The last line prints the papers.

    Examples: weighbook ready; weighbook ready --week 4
    """
    from ledger.actions.ready import ITEM
    from ledger.actions.ready import ready as look

    if week is not None and date is not None:
        raise click.UsageError("Give --week or --date, not both.")
    with opened(store) as ledger:
        found = look(ledger, week=week, date=date, **moments)
    items = [dict(item) for game in found.games for item in game.items]
    if form == "csv":
        show(ITEM, items, form, table={}, empty="", zone=found.zone)
    elif form == "json":
        day = {"week": found.day.week, "date": found.day.date}
        show_json(day | {"games": [asdict(game) for game in found.games]})
    else:
        _print(found)
        say_moment(found.events, found.zone, None, moments["as_of"], moments["known_at"])


def _print(found: Ready) -> None:
    """The day's games, then what to print."""
    from ledger.say import ready as say
    from ledger.say.clock import local_date

    first, week = found.games[0], found.day.week
    click.echo(f"Week {week}: {local_date(first.kickoff, found.zone)}")
    played = [game for game in found.games if not game.is_off]
    for game in found.games:
        click.echo()
        heading = say.heading(
            game.game, game.visitor, game.home, game.kickoff, game.site, found.zone
        )
        click.echo(paragraph(heading))
        if game.is_off:
            click.echo("  Called off.")
            continue
        if game.is_weighed:
            click.echo("  Already weighed.")
        if not game.items:
            click.echo("  Nothing to settle.")
        show_lines_to_copy(say.item_lines(game.items, found.zone, store_words()))
    click.echo()
    click.echo(say.counted(sum(len(game.items) for game in played), len(played)))
    if not found.has_keys:
        click.echo("Nobody has a key yet, so lists are signed in ink.")
    click.echo("Papers for the day:")
    click.echo(f"  weighbook print all --week {week} --to week-{week}{store_words()}")
