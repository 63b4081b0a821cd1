"""weighbook enroll OFFICIAL, weighbook revoke OFFICIAL"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import click

from ledger.commands.asking import act_options, answered, echo_signed, note_is_fine_option
from ledger.commands.shared import FILE, chain_option, opened, store_option
from ledger.commands.typed import GAME, OFFICIAL
from ledger.errors import InputError

by_option = click.option(
    "--by", type=OFFICIAL, help="The official who orders it (default: OFFICIAL)."
)
game_option = click.option("--game", type=GAME, help="A key for this game only.")


@click.command(short_help="Make an official's key for signing lists.")
@click.argument("official", type=OFFICIAL)
@by_option
@click.option("--replace", is_flag=True, help="Replace the key in force.")
@game_option
@click.option("--phone", "code", metavar="CODE", help="Take the key that OFFICIAL's phone made.")
@click.option(
    "--passphrase-file",
    "new_passphrase_file",
    type=FILE,
    help="Read the new key's passphrase from the first line of this file.",
)
@click.option(
    "--by-passphrase-file",
    "passphrase_file",
    type=FILE,
    help="Read the passphrase of --by from the first line of this file.",
)
@store_option
@chain_option
def enroll(
    official: str,
    by: str | None,
    replace: bool,
    game: str | None,
    code: str | None,
    store: Path,
    **answers: Any,
) -> None:
    """Make a key for OFFICIAL. OFFICIAL chooses its passphrase (six characters or
    more). Nobody can recover a lost passphrase; make a new key instead.

    The registrar, an association president or a division president makes the key.
    With --replace, OFFICIAL can do it too, with the old passphrase. With --game,
    the person who appointed OFFICIAL for that game makes it.

    With --phone, OFFICIAL's own phone made the key and shows CODE. It replaces the
    key in force, and no passphrase opens it.

    Examples: weighbook enroll marmots-wm3 --by registrar;
    weighbook enroll marmots-wm3 --by registrar --phone 7KQM-2WXD
    """
    from ledger.actions.keys import enroll as make_key

    acting = by or official
    if code is not None:
        if game is not None or answers["new_passphrase_file"] is not None:
            hint = "The phone's key says itself what it is for, and has no passphrase."
            raise InputError("--phone goes without --game or --passphrase-file", hint=hint)
        _enroll_phone(official, code, acting, store, **answers)
        return
    with opened(store) as ledger:
        act = partial(make_key, ledger, official, by=acting, replace=replace, game=game)
        done = answered(act, **answers)
    only = f" for {game} only" if game else ""
    click.echo(f"{official} has a key{only}, recorded as {done.act.event_id}. Its public half:")
    click.echo(done.public)
    echo_signed(done.act)


def _enroll_phone(official: str, code: str, by: str, store: Path, **answers: Any) -> None:
    from ledger.actions.phones import Phones, confirm

    phones = Phones(store)
    made = phones.of_code(code, official)
    with opened(store) as ledger:
        done = answered(partial(confirm, ledger, made, by=by), **answers)
    phones.forget(official)
    only = f" for {done.game} only" if done.game else ""
    click.echo(f"The phone of {official} has the key{only}, recorded as {done.act.event_id}.")
    click.echo("Its public half:")
    click.echo(done.public)
    echo_signed(done.act)


@click.command(short_help="End an official's key.")
@click.argument("official", type=OFFICIAL)
@click.option("--reason", required=True, help="Why. Kept outside the chain.")
@by_option
@note_is_fine_option
@game_option
@act_options
def revoke(
    official: str, reason: str, by: str | None, game: str | None, store: Path, **answers: Any
) -> None:
    """End OFFICIAL's key. What it signed before stays signed.

    OFFICIAL can do this with the key's passphrase. So can the registrar, an
    association president or a division president.

    Example: weighbook revoke marmots-wm3 --by registrar --reason "lost the tablet"
    """
    from ledger.actions.keys import revoke as end_key

    acting = by or official
    with opened(store) as ledger:
        act = partial(end_key, ledger, official, by=acting, reason=reason, game=game)
        done = answered(act, **answers)
    click.echo(f"The key of {official} no longer counts, recorded as {done.event_id}.")
    echo_signed(done)
