"""weighbook sign GAME TEAM --by OFFICIAL"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.passphrase import ask_passphrase, passphrase_option
from ledger.commands.shared import chain_option, opened, show, store_option, wrong
from ledger.commands.texts import paragraph

if TYPE_CHECKING:
    from ledger.store.store import Store
    from ledger.witness.countersign import ListShown

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
    from ledger.commands.clock import league_zone
    from ledger.say.words import short_hash
    from ledger.store.kept_files import read_to_keep
    from ledger.witness.countersign import countersign_in_ink, show_list

    if receipt is not None:
        _check_receipt(receipt, ink)
    with opened(store) as ledger:
        shown = show_list(ledger, game, team, official, chain=chain)
        rows = [row | {"struck": "yes" if row["strike_id"] else "no"} for row in shown.rows]
        click.echo(f"The list of {team} in {game}, as it stands:")
        show((), rows, "table", table=TABLE, empty="Nobody is on this list.")
        click.echo(f"The number of this list: {short_hash(shown.number)}")
        _show_signatures(ledger, shown, league_zone(ledger))
        if ink is not None:
            event_id = countersign_in_ink(ledger, shown, read_to_keep(ink), ink.name)
            click.echo(f"Kept as {event_id}: signed in ink by {official}, with the scan {ink}.")
            return
        _sign_with_key(ledger, shown, receipt, passphrase_file)


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


def _show_signatures(ledger: Store, shown: ListShown, zone: str) -> None:
    from ledger.say import signature_words
    from ledger.say.key_words import key_words
    from ledger.say.words import how_signed
    from ledger.witness.vouching import is_key_signature

    told = []
    for signed in shown.signatures:
        row = signed.row
        how = how_signed(row["how"]).lower()
        if words := key_words(ledger, row["event_id"], str):
            how += f" ({words})"
        told.append(f"  {row['official']} for {row['side']}: {how}, {row['event_id']}.")
        is_forged = row["how"] == "key" and not is_key_signature(ledger, signed.event_id)
        words = signature_words.NO_KEY if is_forged else signature_words.state(signed)
        told.append(f"    {words}.")
    click.echo("\n".join(["Signatures so far:", *told]) if told else "Nobody has signed it yet.")
    since = (
        *signature_words.taken_back(shown.taken_back, zone, str),
        *signature_words.since(shown.signatures, zone, str),
    )
    for line in since:
        click.echo(paragraph(f"– {line.text}", indent=2, hang=4))
        for statement in line.statements:
            click.echo(paragraph(statement, indent=4, hang=4))
    if any(s.row["official"] == shown.official and s.state == "stands" for s in shown.signatures):
        click.echo(f"{shown.official} has signed it as it stands; this one will stand beside that.")


def _sign_with_key(
    ledger: Store, shown: ListShown, receipt: Path | None, passphrase_file: Path | None
) -> None:
    from ledger.chain.note import format_note
    from ledger.errors import ReportError, RuleError
    from ledger.outputs import RECEIPT, write_output
    from ledger.witness.countersign import countersign
    from ledger.witness.officials import key_of, no_key_hint, unlock

    if key_of(ledger, shown.official, shown.game) is None:
        hint = no_key_hint(shown.official, shown.game)
        raise RuleError(f"{shown.official} has no key in force", hint=hint)
    secret = ask_passphrase(f"Passphrase of {shown.official}", passphrase_file)
    key, private = unlock(ledger, shown.official, secret, shown.game)
    signed = countersign(ledger, shown, key, private)
    click.echo(f"Signed as {signed.event_id} by {shown.official}.")
    if receipt is not None:
        try:
            write_output(format_note(signed.note), receipt, RECEIPT)
        except ReportError as error:
            hint = (
                "The signature stands; there is no need to sign again. Its receipt as a paper: "
                f"weighbook print receipt {signed.event_id} --to FILE"
            )
            raise ReportError(error.message, hint=hint) from error
        click.echo(f"Wrote the receipt to {receipt}; take it home.")
