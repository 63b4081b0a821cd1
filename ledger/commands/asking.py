"""Answer what an action asks: at the terminal, or from options in a script."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from ledger.commands.passphrase import ask_passphrase, by_passphrase_option
from ledger.commands.shared import Command, chain_option, store_option
from ledger.errors import InputError
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.actions.asking import Act, AskAboutTextsError, AskDespiteError, AskLateError
    from ledger.store.store import Store

Result = TypeVar("Result")
_FINE, _DESPITE, _NAMES = "ledger.note_is_fine", "ledger.despite", "ledger.names"


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


def _keep_despite(ctx: click.Context, option: click.Parameter, value: str | None) -> None:
    codes = (value or "").replace(",", " ").split()
    ctx.meta[_DESPITE] = frozenset(codes)


despite_option = click.option(
    "--despite",
    metavar="CODES",
    expose_value=False,
    callback=_keep_despite,
    help="Go on even though this is open. For scripts; at a terminal, you are asked.",
)


def _keep_names(ctx: click.Context, option: click.Parameter, value: bool) -> None:
    ctx.meta[_NAMES] = value


names_option = click.option(
    "--names",
    is_flag=True,
    expose_value=False,
    envvar="WEIGHBOOK_NAMES",
    show_envvar=True,
    callback=_keep_names,
    help="Show children's names too, on a screen that only the league's own people see.",
)


def asked_names(store: Store) -> Callable[[str], str] | None:
    """The names of players by id if --names asks for them, otherwise None."""
    if not click.get_current_context().meta.get(_NAMES):
        return None
    from ledger.record.kinds import BRINGS_IN
    from ledger.say.names import Names

    kinds = BRINGS_IN["player"]
    return Names(store, [stored.event for stored in store.events(kind=kinds)]).of


def act_options(command: Command) -> Command:
    """--passphrase-file, --store and --chain, for an act that --by may sign."""
    return by_passphrase_option(store_option(chain_option(command)))


def answered(
    act: Callable[..., Result],
    chain: str | None = None,
    passphrase_file: Path | None = None,
    new_passphrase_file: Path | None = None,
    *,
    names: Callable[[str], str] | None = None,
    go_on: str = "",
) -> Result:
    """Call the action with `acting`, again with each answer it asks for, and return its result.

    `names` says players' names where children are listed; `go_on` asks whether to go on although
    something is open. InputError if there is no terminal to ask at.
    """
    from ledger.actions.asking import (
        Acting,
        AskAboutTextsError,
        AskDespiteError,
        AskLateError,
        AskPassphraseError,
    )

    acting = Acting(chain)
    while True:
        try:
            return act(acting=acting)
        except AskDespiteError as asked:
            _go_on(asked, go_on, names)
            acting = replace(acting, despite=acting.despite | {*asked.codes})
        except AskLateError as asked:
            acting = replace(acting, late=_was_late(asked))
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


def say_open(heading: str, lines: Iterable[str]) -> None:
    """Say on standard error what is open."""
    click.echo(heading, err=True)
    for line in lines:
        click.echo(paragraph(f"– {line}", indent=2, hang=4), err=True)


def _go_on(asked: AskDespiteError, question: str, names: Callable[[str], str] | None) -> None:
    """Say what is open, and go on only after a deliberate yes: at the terminal it is no."""
    say_open(asked.heading, asked.lines(names))
    if {*asked.codes} <= click.get_current_context().meta.get(_DESPITE, frozenset()):
        return
    if not sys.stdin.isatty():
        hint = f"To go on all the same, add: --despite {','.join(asked.codes)}"
        raise InputError("nothing was recorded: this is still open", hint=hint)
    click.confirm(question, default=False, abort=True, err=True)


def _was_late(asked: AskLateError) -> bool:
    """Whether to record a late weigh instead. A script's own word stands, and it is told."""
    click.echo(asked.message, err=True)
    if not sys.stdin.isatty():
        click.echo(asked.hint, err=True)
        return False
    # No default: either answer is a claim about when the child came.
    return click.confirm("Record it as a late weigh?", default=None, err=True)


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
