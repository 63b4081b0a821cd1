"""weighbook print all"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ledger.commands.print_shared import asked_certificate, sign_options, signed_with
from ledger.commands.shared import NEW_FOLDER, opened, store_option
from ledger.errors import count_of


@click.command("all", short_help="Make all papers of a day, for every game.")
@click.option(
    "--week",
    required=True,
    type=int,
    metavar="N",
    help="The season's N-th day with games, by local date.",
)
@click.option("--to", required=True, type=NEW_FOLDER, help="The new folder to write.")
@sign_options
@store_option
def all_(week: int, to: Path, store: Path) -> None:
    """Make all papers for a day of games: for each game both ineligible lists, both
    books, the weigh-in card, both empty forms and both tally sheets, one file each.

    Week 1 is the first day with games, on any weekday. A day counts even if its
    games are called off; those games get no papers. weighbook writes all papers
    or none.

    Example, for acorn-1a to oak-1b: weighbook print all --week 1 --to saturday
    """
    certificate = asked_certificate()
    from ledger.papers.press.many import render_all
    from ledger.papers.sheets.weeks import PAPERS_A_GAME, find_week, lay_week

    with opened(store) as ledger:
        found = find_week(ledger, week)
        for game in found.off:
            click.echo(f"{game} is called off: no papers.", err=True)
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
    click.echo(f"Wrote {papers} for {games} on {found.day} to {to}{signed_with(certificate)}.")
