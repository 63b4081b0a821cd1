"""weighbook sign GAME TEAM --by OFFICIAL"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import answered
from ledger.commands.passphrase import passphrase_option
from ledger.commands.shared import chain_option, opened, show, store_option, wrong
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.signing import ListToSign, Signed
    from ledger.store.store import Store

TABLE = {
    "number": "No.",
    "player": "Player",
    "reason": "Listed for",
    "struck": "Struck off",
    "may_play": "May play",
    "may_carry": "May carry",
}


@click.command(short_help="Countersign a team's list as it stands.")
@click.argument("game")
@click.argument("team")
@click.option("--by", "official", required=True, help="The weighmaster who signs.")
@click.option(
    "--ink",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="It was signed on paper: keep this scan.",
)
@click.option(
    "--receipt",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the cosigned checkpoint to this new file, to take home.",
)
@passphrase_option
@store_option
@chain_option
def sign(
    game: str,
    team: str,
    official: str,
    ink: Path | None,
    receipt: Path | None,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Countersign TEAM's ineligible list of GAME as it stands.

    Shows the list, asks for the passphrase, and signs. An own weighmaster of
    either side may sign. Keep the receipt: with it anyone can show later that
    nothing before it was changed.

    Example: weighbook sign acorn-1a newts --by marmots-wm3
    """
    from ledger.actions.signing import show_list, sign_in_ink, sign_with_key
    from ledger.say.words import short_hash
    from ledger.store.kept_files import read_to_keep
    from ledger.store.league import league_zone

    if receipt is not None:
        _check_receipt(receipt, ink)
    with opened(store) as ledger:
        listed = show_list(ledger, game, team, official, chain=chain)
        shown = listed.shown
        rows = [row | {"struck": "yes" if row["strike_id"] else "no"} for row in shown.rows]
        click.echo(f"The list of {team} in {game}, as it stands:")
        show((), rows, "table", table=TABLE, empty="Nobody is on this list.")
        click.echo(f"The number of this list: {short_hash(shown.number)}")
        _show_signatures(ledger, listed, league_zone(ledger))
        if ink is not None:
            kept = sign_in_ink(ledger, shown, read_to_keep(ink), ink.name).event_id
            click.echo(f"Kept as {kept}: signed in ink by {official}, with the scan {ink}.")
            return
        signed = answered(partial(sign_with_key, ledger, shown), chain, passphrase_file)
    click.echo(f"Signed as {signed.event_id} by {official}.")
    if receipt is not None:
        _write_receipt(signed, receipt)


def _check_receipt(receipt: Path, ink: Path | None) -> None:
    """Before anything is signed: whether a receipt is made, and may be written there."""
    from ledger.errors import ReportError
    from ledger.outputs import RECEIPT, check_place

    if ink is not None:
        hint = "What was signed in ink keeps its scan; a receipt is of a signature with a key."
        raise wrong("--ink and --receipt; nothing was signed", hint)
    try:
        check_place(receipt, RECEIPT)
    except ReportError as error:
        raise ReportError(f"{error.message}; nothing was signed", hint=error.hint) from error


def _show_signatures(ledger: Store, listed: ListToSign, zone: str) -> None:
    from ledger.say import codes, signing

    shown, told = listed.shown, []
    for signed in shown.signatures:
        row = signed.row
        how = codes.HOW_SIGNED[row["how"]]
        if words := signing.key_words(ledger, row["event_id"], str):
            how += f" ({words})"
        told.append(f"  {row['official']} for {row['side']}: {how}, {row['event_id']}.")
        is_forged = signed.event_id in listed.forged
        told.append(f"    {signing.NO_KEY if is_forged else signing.state(signed)}.")
    click.echo("\n".join(["Signatures so far:", *told]) if told else "Nobody has signed it yet.")
    since = (
        *signing.taken_back(shown.taken_back, zone, str),
        *signing.since(shown.signatures, zone, str),
    )
    for line in since:
        click.echo(paragraph(f"– {line.text}", indent=2, hang=4))
        for statement in line.statements:
            click.echo(paragraph(statement, indent=4, hang=4))
    if listed.has_signed:
        click.echo(f"{shown.official} has signed it as it stands; this one will stand beside that.")


def _write_receipt(signed: Signed, receipt: Path) -> None:
    from ledger.errors import ReportError
    from ledger.outputs import RECEIPT, write_output

    try:
        write_output(signed.receipt or b"", receipt, RECEIPT)
    except ReportError as error:
        hint = (
            "The signature stands; there is no need to sign again. Its receipt as a paper: "
            f"weighbook print receipt {signed.event_id} --to FILE"
        )
        raise ReportError(error.message, hint=hint) from error
    click.echo(f"Wrote the receipt to {receipt}; take it home.")
