"""weighbook enroll OFFICIAL, weighbook revoke OFFICIAL"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from ledger.commands.asking import answered, echo_signed, note_is_fine_option
from ledger.commands.passphrase import (
    by_passphrase_option,
    passphrase_file_option,
    passphrase_option,
)
from ledger.commands.shared import chain_option, opened, store_option

by_option = click.option("--by", help="The official who has it done; else OFFICIAL.")
game_option = click.option("--game", help="A key for this game only.")


@click.command(short_help="Make an official's key, to sign lists with.")
@click.argument("official")
@by_option
@click.option("--replace", is_flag=True, help="Make a new key in place of the one in force.")
@game_option
@passphrase_option
@passphrase_file_option("--by-passphrase-file", "The same, of the passphrase of --by.")
@store_option
@chain_option
def enroll(
    official: str,
    by: str | None,
    replace: bool,
    game: str | None,
    passphrase_file: Path | None,
    by_passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Make a key for OFFICIAL, sealed under a passphrase of their own (six
    characters or more). A lost passphrase is a new key, never a recovery.

    The registrar, an association president or a division president makes it; with
    --replace the holder may too, by the old passphrase. With --game, whoever
    appointed OFFICIAL for that game.

    Example: weighbook enroll marmots-wm3 --by registrar
    """
    from ledger.actions.keys import enroll as make_key

    acting = by or official
    with opened(store) as ledger:
        act = partial(make_key, ledger, official, by=acting, replace=replace, game=game)
        done = answered(act, chain, by_passphrase_file, passphrase_file)
    only = f" for {game} only" if game else ""
    since = f"{official} has a key{only} since {done.act.event_id}."
    click.echo(f"{since} Its public half, for anyone to check:")
    click.echo(done.public)
    echo_signed(done.act)


@click.command(short_help="Say that an official's key counts no more.")
@click.argument("official")
@click.option("--reason", required=True, help="Why; kept outside the chain.")
@by_option
@note_is_fine_option
@game_option
@by_passphrase_option
@store_option
@chain_option
def revoke(
    official: str,
    reason: str,
    by: str | None,
    game: str | None,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Say that OFFICIAL's key counts no more. What it signed before stays signed.
    The holder may, by its passphrase; else the registrar, an association
    president or a division president.

    Example: weighbook revoke marmots-wm3 --by registrar --reason "lost the tablet"
    """
    from ledger.actions.keys import revoke as end_key

    acting = by or official
    with opened(store) as ledger:
        act = partial(end_key, ledger, official, by=acting, reason=reason, game=game)
        done = answered(act, chain, passphrase_file)
    click.echo(f"The key of {official} counts no more, since {done.event_id}.")
    echo_signed(done)
