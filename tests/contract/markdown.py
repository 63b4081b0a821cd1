"""Tables in Markdown."""

from __future__ import annotations

from collections.abc import Iterable


def table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A table in Markdown; cells hold no bar."""
    head = list(head)
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)
