"""Answer what an action asks: at the terminal, or from options in a script."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from ledger.commands.passphrase import ask_passphrase, by_passphrase_option
from ledger.commands.shared import Command, chain_option, store_option
from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.actions.asking import Act, AskAboutTextsError

Result = TypeVar("Result")
_FINE = "ledger.note_is_fine"


def _keep_answer(ctx: click.Context, option: click.Parameter, value: bool) -> None:
    ctx.meta[_FINE] = value


# Not --yes: people type that by habit, and in `erase` it answers another question.
note_is_fine_option = click.option(
    "--note-is-fine",
    is_flag=True,
    expose_value=False,
    callback=_keep_answer,
    help="Confirm: no text here is a body weight or birth date.",
)


def act_options(command: Command) -> Command:
    """--passphrase-file, --store and --chain, for an act that --by may sign."""
    return by_passphrase_option(store_option(chain_option(command)))


def answered(
    act: Callable[..., Result],
    chain: str | None = None,
    passphrase_file: Path | None = None,
    new_passphrase_file: Path | None = None,
) -> Result:
    """Call the action with `acting`, again with each answer it asks for, and return its result.

    InputError if there is no terminal to ask at.
    """
    from ledger.actions.asking import Acting, AskAboutTextsError, AskPassphraseError

    acting = Acting(chain)
    while True:
        try:
            return act(acting=acting)
        except AskAboutTextsError as asked:
            _settle(asked)
            acting = replace(acting, fine=acting.fine | {*asked.questions})
        except AskPassphraseError as asked:
            if asked.is_new:
                label = f"New passphrase for {asked.official}"
                secret = ask_passphrase(label, new_passphrase_file, twice=True)
                acting = replace(acting, new_passphrase=secret)
            else:
                secret = ask_passphrase(f"Passphrase for {asked.official}", passphrase_file)
                acting = replace(acting, passphrase=secret)


def echo_signed(act: Act) -> None:
    """Say whether a key signed the act that was just recorded."""
    by = act.by
    if act.is_signed:
        click.echo(f"Signed with the key of {by}.")
    else:
        click.echo(f"Not signed: {by} had no key yet. Anyone could have typed --by {by}.")


def _settle(asked: AskAboutTextsError) -> None:
    """Keep these texts only after a deliberate yes: at the terminal the default is no."""
    if click.get_current_context().meta.get(_FINE):
        click.echo(
            "Kept, because you confirmed that these are not weights or birth dates:", err=True
        )
        click.echo("\n".join(f"  {one}" for one in asked.questions), err=True)
        return
    if not sys.stdin.isatty():
        hint = f"{asked.hint.removesuffix('.')}: run the command again with --note-is-fine."
        raise InputError(asked.message, hint=hint) from asked
    click.echo(f"{asked.message}\n{asked.hint}", err=True)
    click.confirm("Record it anyway?", default=False, abort=True, err=True)
