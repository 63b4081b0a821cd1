"""Options whose words the record fixes: help shows them, and the statement refuses others.

Not click's own `Choice`: that stops at the first wrong word, where the statement's model names
every fault at once; and it needs the words, and so pydantic, when the command is defined.
"""

from __future__ import annotations

from typing import Any, Literal, get_args, get_origin

import click
from click.shell_completion import CompletionItem

LONGEST = 60
"""Characters of `[a|b|c]` that fit beside an option in 80 columns."""


def words_of(kind: str, column: str) -> list[str]:
    """The words that this column of this kind allows; none where it allows any text."""
    from ledger.record.statements import KINDS

    annotation: Any = KINDS[kind].model_fields[column].annotation
    for part in (annotation, *get_args(annotation)):
        if get_origin(part) is Literal:
            return [str(value) for value in get_args(part)]
    return []


class Words(click.ParamType[str]):
    """One of the words that a column of a kind of statement allows."""

    name = "text"

    def __init__(self, kind: str, column: str) -> None:
        self._of = kind, column

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str | None:
        """ "[ok|over|no_scale]"; None where the words are too many to stand there."""
        shown = f"[{'|'.join(words_of(*self._of))}]"
        return shown if 2 < len(shown) <= LONGEST else None

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        fitting = (word for word in words_of(*self._of) if word.startswith(incomplete))
        return [CompletionItem(word) for word in fitting]
