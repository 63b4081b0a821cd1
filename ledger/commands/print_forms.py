"""weighbook print receipt, blank-case"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import opened, store_option


@click.command(short_help="Proof of a signature, for each side to take home.")
@click.argument("event")
@to_option
@store_option
def receipt(event: str, to: Path, store: Path) -> None:
    """The receipt of the countersignature EVENT (CHAIN:SEQ, as the list and the
    sign command show it): twice on a sheet, to cut. No child is named on it.

    Example, acorn-1a: weighbook print receipt office:406 --to receipt.pdf
    """
    from ledger.papers.sheets.receipts import receipt_sheet

    with opened(store) as ledger:
        sheet = receipt_sheet(ledger, event)
    write(sheet, to)


@click.command("blank-case", short_help="A case's empty form: question and determination.")
@to_option
@store_option
def blank_case(to: Path, store: Path) -> None:
    """The empty form of a case: the question on the front, the determination on
    the back, with the league's reviewers and time limits.

    Example, to note what happened in acorn-1a by hand:

        weighbook print blank-case --to blank-case.pdf
    """
    from ledger.papers.sheets.case_forms import blank_case_sheet

    with opened(store) as ledger:
        sheet = blank_case_sheet(ledger)
    write(sheet, to)
