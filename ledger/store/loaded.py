"""Which rows and lines are already loaded, and how a row or line differs from them.

Rows are known by their ids, lines by day file and record number. They are compared by what they say
(a row, by what counts now), so a spreadsheet may write a time in another form. Personal text is
compared as long as its disclosure is there, and what was erased stays erased.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from ledger.chain.event import Event
from ledger.errors import Fault
from ledger.record.accepted import TOP, Accepted
from ledger.record.corrections import is_correction, rows_that_count
from ledger.record.kinds import SETUP
from ledger.record.later_keys import with_later_keys
from ledger.record.reading import Place, shown
from ledger.record.times import moment_of, zone
from ledger.store.store import Store

_TIMES = frozenset({"at", "entered", "kickoff"})
_OF_CORRECTION = frozenset({"by", "entered", "corrects", "reason", "how", "others"})
"""What a correction says of itself, beside the row."""
_OWN_COLUMN = {"reading_clb": "reading", "limit_clb": "limit"}


@dataclass
class Loaded:
    """Events by the key of their row, or by (day file, record number).

    Learn everything, in ledger order, before asking for `rows`.
    """

    setup: list[Event] = field(default_factory=list)
    lines: dict[tuple[str, int], Event] = field(default_factory=dict)

    @cached_property
    def rows(self) -> dict[tuple[str, ...], Event]:
        """Every row as it counts now."""
        return {_row_key(event): event for event in rows_that_count(self.setup)}

    def holds(self, key: tuple[str, ...] | tuple[str, int]) -> bool:
        """Whether the row or line of this key was loaded before."""
        return key in self.rows or key in self.lines

    def learn(self, event: Event) -> None:
        if event.kind in SETUP:
            self.setup.append(event)
        elif source := event.data.get("source"):
            self.lines[source["file"], source["record"]] = event


def read_loaded(store: Store) -> Loaded:
    """What the ledger holds of the folder, without the lock."""
    loaded = Loaded()
    for stored in store.events():
        loaded.learn(stored.event)
    return loaded


class Difference(NamedTuple):
    """A key that says something else now than in the ledger, with both as texts."""

    key: str
    now: str
    before: str

    @property
    def column(self) -> str:
        return _OWN_COLUMN.get(self.key, self.key.replace("_clb", "_lb"))

    def fault(self, place: Place, right: str) -> Fault:
        return place.fault(self.column, f"{self.now}, but {self.before} was loaded", right)


def differences(
    stated: Accepted, event: Event, personal: Mapping[tuple[str, str], str], zone_name: str
) -> list[Difference]:
    """How what the folder says now differs from the event in the ledger, by key.

    Times are texts in that zone, the league's: as in the file, as a rule.
    """
    digests = event.data.get("digests", {})
    before = _said(event) | {
        key: personal.get((event.id, key), stated.personal.get(key))
        for key in digests
        if not (is_correction(event) and key in _OF_CORRECTION)
    }
    now = _said(stated) | stated.personal
    if stated.player is None and "number" in stated.data:
        before.pop("player", None)  # from the number, when the line was accepted
    return [
        Difference(key, *(_text(key, one.get(key), zone_name) for one in (now, before)))
        for key in sorted(before.keys() | now.keys())
        if before.get(key) != now.get(key)
    ]


def _said(stated: Accepted | Event) -> dict[str, Any]:
    own = _OF_CORRECTION if is_correction(stated) else frozenset()
    top = {key: getattr(stated, key) for key in ("kind", *TOP) if key not in own}
    data = {key: stated.data[key] for key in stated.data.keys() - {"source", "digests"} - own}
    if stated.kind == "league":
        data = with_later_keys(data)
    return {key: value for key, value in top.items() if value is not None} | _flat(data)


def _flat(data: Mapping[str, Any], within: str = "") -> dict[str, Any]:
    """Nested tables as one, so that a difference is found at its own key."""
    flat: dict[str, Any] = {}
    for key, value in data.items():
        inner = _flat(value, f"{within}{key}.") if isinstance(value, dict) else None
        flat |= {f"{within}{key}": value} if inner is None else inner
    return flat


def local_text(utc: str, zone_name: str) -> str:
    """UTC text as a day file may have it: "2026-09-05 08:41-05:00"."""
    moment = moment_of(utc).astimezone(zone(zone_name))
    exact = "milliseconds" if moment.microsecond else "seconds" if moment.second else "minutes"
    return moment.isoformat(" ", exact)


def _text(key: str, value: Any, zone_name: str) -> str:
    if value is not None and key in _TIMES:
        return shown(local_text(value, zone_name))
    if value is not None and key.endswith("_clb"):
        return f"{value // 100}.{value % 100:02}"
    return "nothing" if value is None else shown(value)


def _row_key(event: Event) -> tuple[str, ...]:
    data = event.data
    if event.kind == "official":
        return ("official", data["official"], data["role"], event.team or "")
    own = {"division": data.get("division"), "league": None}.get(
        event.kind, event.player or event.team or event.game
    )
    return (event.kind, own) if own else (event.kind,)
