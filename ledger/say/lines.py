"""Plain text: paragraphs of 80 columns, and ids that fit a table."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

WIDTH = 80
UNLISTED = "unlisted-"


@dataclass(frozen=True)
class Line:
    """A paragraph; its first line is indented by `indent` columns, the others by `hang`."""

    text: str
    indent: int = 0
    hang: int = 0


def paragraph(text: str, *, indent: int = 0, hang: int | None = None) -> str:
    """Wrap the text; lines after the first are indented by `hang`, or else by `indent`."""
    after = indent if hang is None else hang
    return textwrap.fill(
        text,
        width=WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * after,
        break_long_words=False,
        break_on_hyphens=False,
    )


def short_id(player: str | None) -> str | None:
    """A player's id for a table that has team and number too: a long one is cut to its word."""
    return "unlisted" if player and player.startswith(UNLISTED) else player
