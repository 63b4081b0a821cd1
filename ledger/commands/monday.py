"""weighbook monday"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from ledger.commands.shared import (
    moment_options,
    opened,
    say_moment,
    show_json,
    show_lines_to_copy,
    store_option,
    store_words,
    text_or_json_option,
)
from ledger.commands.typed import DATE


@click.command(short_help="After Saturday: what went well, what to settle, by whom.")
@click.option("--week", type=int, metavar="N", help="The season's N-th day with games.")
@click.option("--date", type=DATE, metavar="DATE", help="The day's local date.")
@click.option("--association", metavar="NAME", help="Only findings about or for its teams.")
@store_option
@moment_options
@text_or_json_option
def monday(
    week: int | None,
    date: str | None,
    association: str | None,
    store: Path,
    form: str,
    **moments: str | None,
) -> None:
    """Look back at a day of games: what went well, what to settle, who looks first
    and until when, why each child may play or carry, and the open questions.

    Without --week or --date: the last day with games. As a paper for each
    association: weighbook print monday.

    Examples: weighbook monday --week 2; weighbook monday --association quillowick
    """
    from ledger.derive.monday import monday as look
    from ledger.say.monday import names_of, page, page_lines

    if week is not None and date is not None:
        raise click.UsageError("Give --week or --date, not both.")
    with opened(store) as ledger:
        found = look(ledger, week=week, date=date, association=association, **moments)
        shown = page(found, names_of(ledger, found))
    if form == "json":
        show_json({"week": found.day.week, "date": found.day.date, **asdict(shown)})
        return
    show_lines_to_copy(page_lines(shown, store_words()))
    say_moment(found.events, found.zone, None, moments["as_of"], moments["known_at"])
