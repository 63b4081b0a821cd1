"""weighbook print DOCUMENT: the group. The papers' commands are in the files print_*.py beside it.

A paper is a `click.command` in one of them, with `to_option` and `write` from print_shared, and is
added to PAPERS below.
"""

from __future__ import annotations

import click

from ledger.commands.print_all import all_
from ledger.commands.print_books import blank_book, book
from ledger.commands.print_cards import card
from ledger.commands.print_forms import blank_case, receipt
from ledger.commands.print_lists import blank_list, list_
from ledger.commands.print_packets import protest_packet, review_packet
from ledger.commands.print_season import season_summary

PAPERS = (
    list_,
    blank_list,
    book,
    blank_book,
    card,
    receipt,
    blank_case,
    review_packet,
    protest_packet,
    season_summary,
    all_,
)


@click.group("print", short_help="Make a paper as PDF: a list, an empty form, …")
def print_() -> None:
    """Make a paper as PDF. Papers hold children's names: keep them as the
    league's rule says, and hand them to nobody else.

    With --sign-with the PDF is also signed with the league's certificate (PAdES),
    for readers who know the league by that. It shows that the file comes from
    whoever holds the certificate, and was not changed since. It does not show that
    a statement is true, and the ledger's own proof needs none. Nothing of it is
    seen on the page, and it is lost in print.

    Example: weighbook print list acorn-1a newts --to list.pdf
    """


for _paper in PAPERS:
    print_.add_command(_paper)
