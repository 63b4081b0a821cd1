"""weighbook print all"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ledger.commands.print_shared import asked_certificate, sign_options, signed_with
from ledger.commands.shared import opened, store_option
from ledger.errors import count_of


@click.command("all", short_help="All papers of a day, for every game.")
@click.option(
    "--week",
    required=True,
    type=int,
    metavar="N",
    help="The season's N-th day with games, by its local date.",
)
@click.option(
    "--to",
    required=True,
    type=click.Path(path_type=Path, file_okay=False),
    help="The new folder to write.",
)
@sign_options
@store_option
def all_(week: int, to: Path, store: Path) -> None:
    """All papers for a day of games: for every game both ineligible lists, both
    books, the weigh-in card and both empty forms, one file each.

    Days are counted: week 1 is the first day with games, whatever weekday it is,
    and a day whose games are off counts too. A game that is off gets no papers.
    Several processes share the work; all papers are written, or none.

    Example, acorn-1a to oak-1b: weighbook print all --week 1 --to saturday
    """
    certificate = asked_certificate()
    from ledger.papers.press.many import render_all
    from ledger.papers.sheets.weeks import PAPERS_A_GAME, find_week, lay_week

    with opened(store) as ledger:
        found = find_week(ledger, week)
        for game in found.off:
            click.echo(f"{game} is off: no papers.", err=True)
        with click.progressbar(
            length=PAPERS_A_GAME * len(found.games),
            label=f"Papers of {found.day}",
            file=sys.stderr,
            hidden=not sys.stderr.isatty(),
        ) as bar:
            count = render_all(
                lay_week(ledger, found),
                to,
                on_paper=lambda: bar.update(1),
                sign=certificate.sign if certificate else None,
            )
    papers, games = count_of(count, "paper"), count_of(len(found.games), "game")
    click.echo(f"Wrote {papers} for {games} of {found.day} to {to}{signed_with(certificate)}.")
