"""weighbook print review-packet, protest-packet"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option


@click.command("review-packet", short_help="A case, for those who review it.")
@click.argument("case_id", metavar="CASE")
@to_option
@store_option
@moment_options
def review_packet(
    case_id: str, to: Path, store: Path, as_of: str | None, known_at: str | None
) -> None:
    """CASE as its reviewers need it: the question, who has had it, eligibility when
    the list was signed and now, every statement with its times, the lists as
    signed, findings, exhibits, room to decide and sign, and how to check it all.

    It names only the players that the question is about, shows all remarks made
    about it, and carries its statements with their proof.

    Example: weighbook print review-packet mixed-numbers --to mixed-numbers.pdf
    """
    from ledger.papers.sheets.packets import packet_sheet

    with opened(store) as ledger:
        sheet = packet_sheet(ledger, case_id, "review_packet", as_of=as_of, known_at=known_at)
    write(sheet, to)


@click.command("protest-packet", short_help="A case with both sides and what rulings do.")
@click.argument("case_id", metavar="CASE")
@to_option
@store_option
@moment_options
def protest_packet(
    case_id: str, to: Path, store: Path, as_of: str | None, known_at: str | None
) -> None:
    """The review packet of CASE, and what a protest needs besides: what each side
    says, what is agreed and what is not, and what every ruling would change.
    Rulings are tried out in memory: nothing is written to the ledger.

    Example: weighbook print protest-packet late-plays --to late-plays.pdf
    """
    from ledger.papers.sheets.packets import packet_sheet

    with opened(store) as ledger:
        sheet = packet_sheet(ledger, case_id, "protest_packet", as_of=as_of, known_at=known_at)
    write(sheet, to)
