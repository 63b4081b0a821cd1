"""weighbook sign GAME TEAM --by OFFICIAL"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import answered, asked_names, despite_option, names_option, say_open
from ledger.commands.shared import (
    FILE,
    NEW_FILE,
    chain_option,
    opened,
    show,
    store_option,
    store_words,
    utc_text,
)
from ledger.commands.typed import OFFICIAL, game_argument, team_argument
from ledger.errors import InputError, ReportError
from ledger.outputs import RECEIPT, check_place, write_output
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.signing import ListToSign, Signed
    from ledger.store.store import Store

TABLE = {
    "number": "No.",
    "player": "Player",
    "name": "Name",
    "reason": "Listed for",
    "struck": "Struck off",
    "may_play": "May play",
    "may_carry": "May carry",
}


@click.command(short_help="Countersign a team's list.")
@game_argument
@team_argument
@click.option("--by", "official", type=OFFICIAL, required=True, help="The weighmaster who signs.")
@click.option("--ink", type=FILE, help="Keep this scan of a list signed on paper.")
@click.option(
    "--at",
    metavar="TIME",
    callback=utc_text,
    help="When the paper was signed (default: now). With --ink.",
)
@click.option("--receipt", type=NEW_FILE, help="Write a receipt to this new file, to take home.")
@click.option(
    "--passphrase-file", type=FILE, help="Read the passphrase from the first line of this file."
)
@despite_option
@names_option
@store_option
@chain_option
def sign(
    game: str,
    team: str,
    official: str,
    ink: Path | None,
    at: str | None,
    receipt: Path | None,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Countersign TEAM's ineligible list for GAME.

    weighbook shows the list and what to settle first, asks for your passphrase,
    and signs. If you sign anyway, the signature keeps what was open. Either
    side's own weighmasters may sign. Keep the receipt: it lets anyone show later
    that nothing before it has changed.

    Examples: weighbook sign acorn-1a newts --by marmots-wm3; weighbook sign acorn-1a
    newts --by marmots-wm3 --ink scan.pdf --at 8:55
    """
    from ledger.actions.signing import show_list, sign_in_ink, sign_with_key
    from ledger.say.clock import local_time
    from ledger.say.lists import doubt_line
    from ledger.say.settling import heading, settle_lines
    from ledger.say.words import short_hash
    from ledger.store.kept_files import read_to_keep
    from ledger.store.league import league_data, league_zone

    if at is not None and ink is None:
        hint = "Leave out --at: a key signs now. For a list signed on paper, add --ink SCAN."
        raise InputError("--at needs --ink; nothing was signed", hint=hint)
    if receipt is not None:
        _check_receipt(receipt, ink)
    with opened(store) as ledger:
        listed = show_list(ledger, game, team, official, chain=chain)
        shown = listed.shown
        names = asked_names(ledger)
        click.echo(f"The list of {team} for {game}:")
        _show_list(listed, names)
        click.echo(f"The number of this list: {short_hash(shown.number)}")
        zone = league_zone(ledger)
        _show_signatures(ledger, listed, zone)
        if shown.settling.items and not shown.settling.codes:  # nothing to ask
            league = league_data(ledger)
            say_open(heading(shown.settling), settle_lines(shown.settling, league, zone, names))
        for one in shown.settling.doubts:
            click.echo(paragraph(f"– {doubt_line(one, league_data(ledger))}", indent=2, hang=4))
        ask = partial(answered, names=names, go_on="Sign it all the same?")
        if ink is not None:
            scan = read_to_keep(ink)
            sign = partial(sign_in_ink, ledger, shown, scan, ink.name, at=at or "")
            kept = ask(sign, chain).event_id
            when = local_time(str(ledger.event(kept).at), zone)
            click.echo(f"Recorded as {kept}: signed in ink by {official}, {when}.")
            click.echo(f"The scan {ink} is kept.")
            _say_receipt(kept)
            return
        signed = ask(partial(sign_with_key, ledger, shown), chain, passphrase_file)
    click.echo(f"Signed as {signed.event_id} by {official}.")
    if receipt is not None:
        _write_receipt(signed, receipt)
    else:
        _say_receipt(signed.event_id)


def _check_receipt(receipt: Path, ink: Path | None) -> None:
    """Check before anything is signed that there will be a receipt, and a place for it."""
    if ink is not None:
        hint = "Leave out --receipt: only a signature with a key gives one. The scan is kept."
        raise InputError("--ink and --receipt do not go together; nothing was signed", hint=hint)
    try:
        check_place(receipt, RECEIPT)
    except ReportError as error:
        raise ReportError(f"{error.message}; nothing was signed", hint=error.hint) from error


def _show_list(listed: ListToSign, names: Callable[[str], str] | None) -> None:
    rows = [
        row
        | {"struck": "yes" if row["strike_id"] else "no"}
        | ({"name": names(row["player"])} if names else {})
        for row in listed.shown.rows
    ]
    table = {key: head for key, head in TABLE.items() if names or key != "name"}
    show((), rows, "table", table=table, empty="Nobody is on this list.")


def _show_signatures(ledger: Store, listed: ListToSign, zone: str) -> None:
    from ledger.say import codes, settling, signing, since_signed

    shown, lines = listed.shown, []
    for signed in shown.signatures:
        row = signed.row
        how = codes.HOW_SIGNED[row["how"]]
        if words := signing.key_words(ledger, row["event_id"], str):
            how += f" ({words})"
        lines.append(f"  {row['official']} for {row['side']}: {how}, {row['event_id']}.")
        is_forged = signed.event_id in listed.forged
        lines.append(f"    {signing.NO_KEY if is_forged else signing.state(signed)}.")
        if still := settling.despite(ledger.event(signed.event_id).data):
            lines.append(f"    Open when signed: {still}.")
    click.echo("\n".join(["Signatures so far:", *lines]) if lines else "Nobody has signed it yet.")
    since = (
        *since_signed.taken_back(shown.taken_back, zone, str),
        *since_signed.since(shown.signatures, zone, str),
    )
    for line in since:
        click.echo(paragraph(f"– {line.text}", indent=2, hang=4))
        for statement in line.statements:
            click.echo(paragraph(statement, indent=4, hang=4))
    if listed.has_signed:
        click.echo(f"{shown.official} has already signed this list. A second signature adds to it.")


def _say_receipt(event_id: str) -> None:
    how = f"weighbook print receipt {event_id} --to FILE{store_words()}"
    click.echo(f"  To print its receipt: {how}")


def _write_receipt(signed: Signed, receipt: Path) -> None:
    try:
        write_output(signed.receipt or b"", receipt, RECEIPT)
    except ReportError as error:
        hint = (
            "The list is signed; do not sign again. To print the receipt: "
            f"weighbook print receipt {signed.event_id} --to FILE"
        )
        raise ReportError(error.message, hint=hint) from error
    click.echo(f"Wrote the receipt to {receipt}. Take it home.")
