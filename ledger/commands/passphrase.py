"""Ask for a passphrase: hidden, at the terminal; from a file in scripts."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ledger.commands.shared import FILE
from ledger.errors import InputError

by_passphrase_option = click.option(
    "--passphrase-file",
    type=FILE,
    help="Read the passphrase of --by from the first line of this file.",
)


def ask_passphrase(label: str, file: Path | None, *, twice: bool = False) -> str:
    """Return the passphrase; InputError if there is no terminal to ask at."""
    if file is not None:
        try:
            lines = file.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError) as error:
            hint = "Put the passphrase in a file of its own, as UTF-8 text on the first line."
            raise InputError(f"{file}: cannot read a passphrase here", hint=hint) from error
        return lines[0] if lines else ""
    if not sys.stdin.isatty():
        hint = "Run this in a terminal, or use --passphrase-file FILE."
        raise InputError("cannot ask for the passphrase here", hint=hint)
    return str(click.prompt(label, hide_input=True, confirmation_prompt=twice, err=True))
