"""weighbook enroll OFFICIAL, weighbook revoke OFFICIAL"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.note_question import note_is_fine_option, settle
from ledger.commands.passphrase import ask_passphrase, passphrase_option
from ledger.commands.shared import chain_option, opened, store_option

by_option = click.option("--by", help="The official who vouches for it; else the same person.")


@click.command(short_help="Make an official's key, to sign lists with.")
@click.argument("official")
@by_option
@click.option("--replace", is_flag=True, help="Make a new key in place of the one in force.")
@passphrase_option
@store_option
@chain_option
def enroll(
    official: str,
    by: str | None,
    replace: bool,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Make a key for OFFICIAL, sealed under a passphrase of their own (six
    characters or more). A lost passphrase is a new key, never a recovery.

    Example: weighbook enroll marmots-wm3 --by registrar
    """
    from ledger.chain.note import format_verifier_key
    from ledger.witness import officials

    with opened(store) as ledger:
        officials.check_enroll(ledger, official, by=by or official, replace=replace)
        secret = ask_passphrase(f"New passphrase of {official}", passphrase_file, twice=True)
        key = officials.enroll(
            ledger, official, secret, by=by or official, chain=chain, replace=replace
        )
    click.echo(f"{official} has a key since {key.since}. Its public half, for anyone to check:")
    click.echo(format_verifier_key(key.key))


@click.command(short_help="Say that an official's key counts no more.")
@click.argument("official")
@click.option("--reason", required=True, help="Why; kept outside the chain.")
@by_option
@note_is_fine_option
@store_option
@chain_option
def revoke(official: str, reason: str, by: str | None, store: Path, chain: str) -> None:
    """Say that OFFICIAL's key counts no more. What it signed before stays signed.

    Example: weighbook revoke marmots-wm3 --reason "lost the tablet"
    """
    from ledger.record.questions import question_about
    from ledger.witness import officials

    settle(question_about("--reason", reason))
    with opened(store) as ledger:
        event_id = officials.revoke(ledger, official, by=by or official, reason=reason, chain=chain)
    click.echo(f"The key of {official} counts no more, since {event_id}.")
