"""Asking for a passphrase: hidden, on a terminal; from a file in scripts."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from ledger.errors import InputError

Command = TypeVar("Command", bound=Callable[..., Any])


def passphrase_file_option(name: str, said: str) -> Callable[[Command], Command]:
    """An option that names a file with a passphrase."""
    kind = click.Path(path_type=Path, exists=True, dir_okay=False)
    return click.option(name, type=kind, help=said)


passphrase_option = passphrase_file_option(
    "--passphrase-file", "Read the passphrase from a file's first line instead of asking."
)
by_passphrase_option = passphrase_file_option(
    "--passphrase-file", "Read the passphrase of --by, who has a key, from a file's first line."
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
