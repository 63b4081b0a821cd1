"""What an action asks is asked here: on a terminal, or answered by options in a script."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from ledger.commands.passphrase import ask_passphrase
from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.actions.asking import Act, AskAboutTextsError

Result = TypeVar("Result")
_FINE = "ledger.note_is_fine"


def _keep_answer(ctx: click.Context, option: click.Parameter, value: bool) -> None:
    ctx.meta[_FINE] = value


# Not --yes: that is typed by habit, and erase has one, which answers another question.
note_is_fine_option = click.option(
    "--note-is-fine",
    is_flag=True,
    expose_value=False,
    callback=_keep_answer,
    help="No text in this is a body weight or a birth date.",
)


def answered(
    act: Callable[..., Result],
    chain: str | None = None,
    passphrase_file: Path | None = None,
    new_passphrase_file: Path | None = None,
) -> Result:
    """The action's result; it is called with `acting`, again for each answer that it asks for.

    InputError where nobody can be asked.
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
                label = f"New passphrase of {asked.official}"
                secret = ask_passphrase(label, new_passphrase_file, twice=True)
                acting = replace(acting, new_passphrase=secret)
            else:
                secret = ask_passphrase(f"Passphrase of {asked.official}", passphrase_file)
                acting = replace(acting, passphrase=secret)


def echo_signed(act: Act) -> None:
    """Say whether the act that was just recorded is signed."""
    by = act.by
    if act.is_signed:
        click.echo(f"Signed with the key of {by}.")
    else:
        click.echo(f"Not signed: {by} had no key yet. It shows only that somebody typed --by {by}.")


def _settle(asked: AskAboutTextsError) -> None:
    """Let these texts through by a deliberate answer only: on a terminal no is the default."""
    if click.get_current_context().meta.get(_FINE):
        click.echo("Kept, because you said these are no weight and no birth date:", err=True)
        click.echo("\n".join(f"  {one}" for one in asked.questions), err=True)
        return
    if not sys.stdin.isatty():
        hint = f"{asked.hint.removesuffix('.')}: the same command with --note-is-fine."
        raise InputError(asked.message, hint=hint) from asked
    click.echo(f"{asked.message}\n{asked.hint}", err=True)
    click.confirm("Record it all the same?", default=False, abort=True, err=True)
