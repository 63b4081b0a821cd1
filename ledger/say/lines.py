"""Plain text for people: paragraphs of 80 columns, and ids that fit a table."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

WIDTH = 80
UNLISTED = "unlisted-"


@dataclass(frozen=True)
class Line:
    """A paragraph, with the columns by which its first line and the others are moved in."""

    text: str
    indent: int = 0
    hang: int = 0


def paragraph(text: str, *, indent: int = 0, hang: int | None = None) -> str:
    """The text wrapped; lines after the first are indented by `hang` (else `indent`)."""
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
    """A player's id in a table that gives team and number too: a long one is cut to its word."""
    return "unlisted" if player and player.startswith(UNLISTED) else player
