"""Options with fixed words: help shows them, and the statement's model refuses others.

Not click's `Choice`: it stops at the first wrong word, while the model names every fault at once.
It also needs the words, and so pydantic, when the command is defined.
"""

from __future__ import annotations

from typing import Any, Literal, get_args, get_origin

import click
from click.shell_completion import CompletionItem

from ledger.commands.shared import plain_word

LONGEST = 60
"""The longest `[a|b|c]` that fits beside an option in 80 columns."""


def words_of(kind: str, column: str) -> list[str]:
    """Return the words allowed in this column of this kind; none if it allows any text."""
    from ledger.record.statements import KINDS

    annotation: Any = KINDS[kind].model_fields[column].annotation
    for part in (annotation, *get_args(annotation)):
        if get_origin(part) is Literal:
            return [str(value) for value in get_args(part)]
    return []


class Words(click.ParamType[str]):
    """One of the words allowed in a column of a kind of statement."""

    name = "text"

    def __init__(self, kind: str, column: str) -> None:
        self._of = kind, column

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word in its own spelling: capitals, spaces and dashes do not count."""
        plain = plain_word(value)
        return plain if plain in words_of(*self._of) else value

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str | None:
        """ "[ok|over|no_scale]"; None if the words are too long to fit."""
        shown = f"[{'|'.join(words_of(*self._of))}]"
        return shown if 2 < len(shown) <= LONGEST else None

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        fitting = (word for word in words_of(*self._of) if word.startswith(incomplete))
        return [CompletionItem(word) for word in fitting]
