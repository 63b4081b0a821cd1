"""Asking for a passphrase: hidden, on a terminal; from a file in scripts."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ledger.errors import InputError

passphrase_option = click.option(
    "--passphrase-file",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Read the passphrase from a file's first line instead of asking.",
)


def ask_passphrase(label: str, file: Path | None, *, twice: bool = False) -> str:
    """The passphrase; InputError when nobody can be asked."""
    if file is not None:
        try:
            lines = file.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError) as error:
            hint = "Keep the passphrase in a file of its own, as UTF-8 text on its first line."
            raise InputError(f"{file}: no passphrase can be read here", hint=hint) from error
        return lines[0] if lines else ""
    if not sys.stdin.isatty():
        hint = "Run this on a terminal, or name a file: --passphrase-file FILE."
        raise InputError("there is nobody to ask for the passphrase", hint=hint)
    return str(click.prompt(label, hide_input=True, confirmation_prompt=twice, err=True))
