"""The proved entries of a bundle as a table for people, with the disclosed texts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from ledger.derive.dictionary import MEANINGS, Column, Table
from ledger.derive.spreadsheet import format_csv
from ledger.witness.checked import CheckedProof

_TEXT = ("event_id", "kind", "game", "team", "player", "by")
_TIMES = {"happened_at": "at", "entered_at": "entered", "recorded_at": "recorded"}
_DISCLOSED = {
    "name": "the recorded name, if disclosed",
    "note": "the remark, if disclosed",
    "reason_told": "the reason in words, if disclosed",
}
_SAYS = "what else it says: key=value, in the ledger's codes; a signed list is in events.json"
_HIDDEN = ("digests", "source", "shown")

TABLE = Table(
    name="statements",
    purpose="every entry that this bundle proves, as events.json has it",
    grain="one row per entry",
    rule="in ledger order, chain by chain",
    columns=(
        *(Column(name, "text", MEANINGS[name]) for name in _TEXT),
        *(Column(name, "time, UTC", MEANINGS[name]) for name in _TIMES),
        *(Column(name, "text", meaning) for name, meaning in {"says": _SAYS, **_DISCLOSED}.items()),
    ),
)


def statements_csv(checked: CheckedProof) -> bytes:
    """Return the table as CSV."""
    return format_csv([column.name for column in TABLE.columns], _rows(checked)).encode()


def _rows(checked: CheckedProof) -> Iterator[list[Any]]:
    texts = {(one.event.id, one.field): one.value for one in checked.texts}
    for event in checked.events:
        yield [
            event.id,
            *(getattr(event, name) for name in _TEXT[1:]),
            *(getattr(event, name) for name in _TIMES.values()),
            " ".join(_said(event.data)),
            *(texts.get((event.id, field)) for field in ("name", "note", "reason")),
        ]


def _said(data: Mapping[str, Any], path: str = "") -> Iterator[str]:
    for key, value in data.items():
        if path or key not in _HIDDEN:
            if isinstance(value, Mapping):
                yield from _said(value, f"{path}{key}.")
            else:
                text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
                yield f"{path}{key}={text}"
