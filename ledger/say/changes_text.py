"""What changed in a game, in words and for JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.counts import count_of
from ledger.derive.changes import ANSWER, Change
from ledger.say import statement_words
from ledger.say.statement_lines import Line, statement_lines
from ledger.say.statement_words import NameOf

_NAMES = {
    "number": "number",
    "may_play": "may play",
    "may_carry": "may carry",
    "basis": "by",
    "listed": "listed",
}
CLOCKS = {"entered": "entered", "recorded": "recorded by the ledger"}


def changes_content(
    changes: Sequence[Change], game: str, span: Mapping[str, Any], zone: str, name_of: NameOf
) -> dict[str, Any]:
    """For JSON; `span` holds from, to and clock."""
    rows = [
        {
            "team": change.team,
            "player": change.player,
            "number": change.number,
            "before": change.before,
            "after": change.after,
            "statements": [
                statement_words.content(statement, zone, name_of) for statement in change.statements
            ],
        }
        for change in changes
    ]
    return {"game": game, **span, "changes": rows}


def changes_lines(content: Mapping[str, Any], zone: str) -> list[Line]:
    """The content as text for a screen or a page."""
    since = statement_words.exact_time(content["from"], zone)
    until = statement_words.exact_time(content["to"], zone) if content["to"] else "the end"
    what = f"{content['game']}, what was {CLOCKS[content['clock']]} after {since} up to {until}"
    rows = content["changes"]
    if not rows:
        return [Line(f"{what}: no row changed.")]
    lines = [Line(f"{what}: {count_of(len(rows), 'row')} changed.")]
    for row in rows:
        number = "" if row["number"] is None else f" {row['number']}"
        lines += [Line(""), Line(f"{row['team']}{number} ({row['player']})")]
        lines += [Line(text, 2, 4) for text in _differences(row["before"], row["after"])]
        lines += statement_lines(row["statements"], zone)
    return lines


def _differences(before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> list[str]:
    if before is None or after is None:
        row = after or before or {}
        what = "no row, now" if before is None else "now no row; it was"
        said = ", ".join(f"{_NAMES[key]} {_word(row[key])}" for key in ANSWER[1:])
        return [f"{what}: {said}"]
    return [
        f"{_NAMES[key]}: {_word(before[key])}, now {_word(after[key])}"
        for key in ANSWER
        if before[key] != after[key]
    ]


def _word(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(value) or "nothing"
    return "none" if value is None else str(value).replace("_", " ")
