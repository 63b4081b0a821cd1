"""Statements as paragraphs for a screen or a page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.say import statement_words
from ledger.say.rule_words import join

_STANDING = {
    "stands": "",
    "withdrawn": "withdrawn",
    "crossed_off": "crossed off",
    "not_counted": "does not count",
    "no_authority": "by nobody who reviews such a case",
    "replaced": "a later ruling counts",
}


@dataclass(frozen=True)
class Line:
    """A paragraph, with the columns by which its first line and the others are moved in."""

    text: str
    indent: int = 0
    hang: int = 0


def statement_lines(statements: Sequence[Mapping[str, Any]], zone: str) -> list[Line]:
    """Each `statement_words.content`: what it says, then when and by whom."""
    lines = []
    together = statement_words.recorded_together(statements, zone)
    for one in statements:
        standing = _STANDING[one.get("standing", "stands")]
        marks = "; ".join(filter(None, [standing, statement_words.lateness(one)]))
        lines.append(Line(f"– {one['what']}{f' ({marks})' if marks else ''}.", 2, 4))
        by = f"{join(one['by']['roles']) or 'no role on record'} ({one['by']['official']})"
        if one["by"]["name"] != one["by"]["official"]:
            by = f"{one['by']['name']}, {by}"
        when = statement_words.when(one, zone, recorded_too=not together)
        lines.append(Line(f"{when}. By {by}; {one['event']}.", 4, 4))
    return lines + [Line(together, 2, 2)] * bool(together)
