"""weighbook print book, blank-book"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option


@click.command(short_help="A team's book of first-game marks.")
@click.argument("team")
@to_option
@store_option
@moment_options
def book(team: str, to: Path, store: Path, as_of: str | None, known_at: str | None) -> None:
    """TEAM's book: who was marked ok or over at the first weigh, by whom and when.
    Where no scale can be used, it says who may carry the ball.

    Example: weighbook print book newts --to book.pdf
    """
    from ledger.papers.sheets.books import book_sheet

    with opened(store) as ledger:
        sheet = book_sheet(ledger, team, as_of=as_of, known_at=known_at)
    write(sheet, to)


@click.command("blank-book", short_help="The book's empty form, to mark by hand.")
@click.argument("team", required=False)
@to_option
@store_option
def blank_book(team: str | None, to: Path, store: Path) -> None:
    """The empty form of the book with TEAM's roster on it; without TEAM, all of
    it is written by hand.

    Example: weighbook print blank-book newts --to blank-book.pdf
    """
    from ledger.papers.sheets.books import blank_book_sheet

    with opened(store) as ledger:
        sheet = blank_book_sheet(ledger, team)
    write(sheet, to)
