"""What of a season folder a ledger holds already, and how a row or line differs from it.

Rows are known by their ids, lines by day file and record number. They are compared by what they
say, so a spreadsheet may write a time in another form; personal text is compared as long as its
disclosure is there, and what was erased stays erased.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ledger.chain.event import Event
from ledger.errors import Fault
from ledger.record.accepted import SETUP, Accepted
from ledger.record.reading import Place, shown

_OWN_COLUMN = {"reading_clb": "reading", "limit_clb": "limit",
               "carrier_limit_clb": "carrier_limit_lb"}  # fmt: skip


@dataclass
class Loaded:
    """Events by the key of their row, or by (day file, record number)."""

    setup: dict[tuple[str, ...], Event] = field(default_factory=dict)
    lines: dict[tuple[str, int], Event] = field(default_factory=dict)

    def learn(self, event: Event) -> None:
        if event.kind in SETUP:
            self.setup[_row_key(event)] = event
        elif source := event.data.get("source"):
            self.lines[source["file"], source["record"]] = event


def differences(
    stated: Accepted,
    event: Event,
    personal: Mapping[tuple[str, str], str],
    place: Place,
    right: str,
) -> list[Fault]:
    """The first difference between what the folder says now and the event loaded before."""
    digests = event.data.get("digests", {})
    before = _said(event) | {
        key: personal.get((event.id, key), stated.personal.get(key)) for key in digests
    }
    now = _said(stated) | stated.personal
    if stated.player is None:  # a number alone, looked up once when the line was accepted
        before.pop("player", None)
    if "name" in stated.personal and "number" in stated.data:
        before.pop("player", None)
        now.pop("player", None)
    for key in sorted(before.keys() | now.keys()):
        if before.get(key) != now.get(key):
            column = _OWN_COLUMN.get(key, key)
            found = f"{_text(now.get(key))} where {_text(before.get(key))} was loaded"
            return [place.fault(column, found, right)]
    return []


def _said(stated: Accepted | Event) -> dict[str, Any]:
    top = ("kind", "at", "entered", "by", "game", "team", "player")
    said = {key: value for key in top if (value := getattr(stated, key)) is not None}
    data = {k: v for k, v in stated.data.items() if k not in ("source", "digests")}
    return said | data


def _text(value: Any) -> str:
    return "nothing" if value is None else shown(value)


def _row_key(event: Event) -> tuple[str, ...]:
    data = event.data
    if event.kind == "official":
        return ("official", data["official"], data["role"], event.team or "")
    own = {"division": data.get("division"), "league": None}.get(
        event.kind, event.player or event.team or event.game
    )
    return (event.kind, own) if own else (event.kind,)
