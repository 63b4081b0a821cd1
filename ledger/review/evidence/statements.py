"""The proved entries of a bundle as a table that a person can read, with the texts disclosed."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from ledger.derive.dictionary import MEANINGS, Column, Table
from ledger.derive.spreadsheet import format_csv
from ledger.witness.checked import CheckedProof

_TEXT = ("event_id", "kind", "game", "team", "player", "by")
_TIMES = {"happened_at": "at", "entered_at": "entered", "recorded_at": "recorded"}
_TOLD = {
    "name": "the name that was recorded, if it is disclosed",
    "note": "the remark, if it is disclosed",
    "reason_told": "the reason in words, if it is disclosed",
}
_HIDDEN = ("digests", "source", "shown")

TABLE = Table(
    name="statements",
    purpose="every entry of the ledger that this bundle proves, as events.json has it",
    grain="one row per entry",
    rule="in the order in which the ledger took them, chain by chain",
    columns=(
        *(Column(name, "text", MEANINGS[name]) for name in _TEXT),
        *(Column(name, "time, UTC", MEANINGS[name]) for name in _TIMES),
        Column(
            "says",
            "text",
            "what else it says: key=value, by the words of the ledger; the list that a signature "
            "keeps stands in events.json",
        ),
        *(Column(name, "text", meaning) for name, meaning in _TOLD.items()),
    ),
)


def statements_csv(checked: CheckedProof) -> bytes:
    """The table as CSV."""
    return format_csv([column.name for column in TABLE.columns], _rows(checked)).encode()


def _rows(checked: CheckedProof) -> Iterator[list[Any]]:
    told = {(one.event.id, one.field): one.value for one in checked.texts}
    for event in checked.events:
        yield [
            event.id,
            *(getattr(event, name) for name in _TEXT[1:]),
            *(getattr(event, name) for name in _TIMES.values()),
            " ".join(_said(event.data)),
            *(told.get((event.id, field)) for field in ("name", "note", "reason")),
        ]


def _said(data: Mapping[str, Any], path: str = "") -> Iterator[str]:
    for key, value in data.items():
        if path or key not in _HIDDEN:
            if isinstance(value, Mapping):
                yield from _said(value, f"{path}{key}.")
            else:
                text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
                yield f"{path}{key}={text}"
