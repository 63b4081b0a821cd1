"""weighbook print card"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import opened, store_option


@click.command(short_help="What weighmasters do, by the league's rules.")
@click.argument("game", required=False)
@to_option
@store_option
def card(game: str | None, to: Path, store: Path) -> None:
    """The card for weighmasters: the weigh-in step by step, what to heed, and
    whom to call (phone numbers are written in: the ledger has none). With GAME:
    its limit and times. No child is named on it.

    Example: weighbook print card acorn-1a --to card.pdf
    """
    from ledger.papers.sheets.cards import card_sheet

    with opened(store) as ledger:
        sheet = card_sheet(ledger, game)
    write(sheet, to)
