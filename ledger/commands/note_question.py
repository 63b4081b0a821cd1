"""Asked before a text is kept that seems to hold a body weight or a birth date."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from ledger.counts import count_of
from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.record.questions import Question

_FINE = "ledger.note_is_fine"
_WHY = (
    "weighbook keeps no body weight and no birth date: ok or over is all the procedure needs.\n"
    "Take it out. If it is neither, say so"
)


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


def settle(questions: Sequence[Question]) -> None:
    """Let these texts through by a deliberate answer only; to be called before anything is written.

    On a terminal it asks, and no is the answer unless yes is typed. InputError where nobody can
    be asked and --note-is-fine was not given.
    """
    if not questions:
        return
    lines = [f"  {one}" for one in questions]
    if click.get_current_context().meta.get(_FINE):
        click.echo("Kept, because you said these are no weight and no birth date:", err=True)
        click.echo("\n".join(lines), err=True)
        return
    seem = "seems" if len(questions) == 1 else "seem"
    first = f"{count_of(len(questions), 'text')} {seem} to hold a body weight or a birth date"
    told = "\n".join([f"{first}; nothing was written:", *lines])
    if not sys.stdin.isatty():
        raise InputError(told, hint=f"{_WHY}: the same command with --note-is-fine.")
    click.echo(f"{told}\n{_WHY}.", err=True)
    click.confirm("Record it all the same?", default=False, abort=True, err=True)
