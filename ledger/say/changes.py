"""The changes in a game's answers, in words and for JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.derive.changes import ANSWER, Change
from ledger.errors import count_of
from ledger.say import codes, stated
from ledger.say.clock import exact_time
from ledger.say.corrected_rows import corrected, correction_content
from ledger.say.lines import Line
from ledger.say.stated import NameOf, statement_lines

CLOCKS = {"entered": "written down", "recorded": "recorded by the ledger"}


def changes_content(
    changes: Sequence[Change], game: str, span: Mapping[str, Any], zone: str, name_of: NameOf
) -> dict[str, Any]:
    """The changes for JSON; `span` has from, to and clock."""
    rows = [
        vars(change)
        | {"statements": [stated.content(one, zone, name_of) for one in change.statements]}
        | {"corrections": [correction_content(one, name_of) for one in change.corrections]}
        for change in changes
    ]
    return {"game": game, **span, "changes": rows}


def changes_lines(content: Mapping[str, Any], zone: str) -> list[Line]:
    """`changes_content` as text for a screen or a page."""
    since = exact_time(content["from"], zone)
    until = exact_time(content["to"], zone) if content["to"] else "the end"
    span = f"{content['game']}, {CLOCKS[content['clock']]} after {since} up to {until}"
    rows = content["changes"]
    if not rows:
        return [Line(f"{span}: no answer changed.")]
    lines = [Line(f"{span}: the answer changed for {count_of(len(rows), 'player')}.")]
    for row in rows:
        number = "" if row["number"] is None else f" {row['number']}"
        lines += [Line(""), Line(f"{row['team']}{number} ({row['player']})")]
        lines += [Line(text, 2, 4) for text in _differences(row["before"], row["after"])]
        lines += statement_lines(row["statements"], zone)
        for one in row["corrections"]:
            lines.append(Line(f"– {corrected(one, zone)}", 2, 4))
    return lines


def _differences(before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> list[str]:
    if before is None or after is None:
        row = after or before or {}
        said = "; ".join(PHRASES[key](row[key]) for key in ANSWER[1:])
        return [f"{'New' if before is None else 'Removed; it was'}: {said}"]
    return [
        f"Was: {say(before[key])}. Now: {say(after[key])}."
        for key, say in PHRASES.items()
        if before[key] != after[key]
    ]


PHRASES: Mapping[str, Callable[[Any], str]] = {
    "number": lambda value: "no number" if value is None else f"number {value}",
    "may_play": codes.plays,
    "may_carry": codes.carries,
    "basis": codes.basis,
    "listed": lambda value: codes.listed(value) or "not listed",
}
