"""A game's statements as a page gets them: JSON text, made once, without what is null."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import orjson

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.record.fields import UNLISTED
from ledger.record.kinds import OF_THING
from ledger.store.store import Store

_SAYS = ("number", "value", "reason", "half", "count", "reading_clb", "limit_clb", "initials",
         "to", "case", "kickoff", "site", "target", "ref")  # fmt: skip


@dataclass(frozen=True)
class Entry:
    """One statement; `text` is its JSON."""

    event: str
    kind: str
    team: str | None
    target: str | None
    text: bytes


def entries_of(store: Store, events: Iterable[Event]) -> list[Entry]:
    """These statements as entries, in the same order."""
    given = list(events)
    wanted = [event.id for event in given if _shown_text(event)]
    texts = {
        (row.event_id, row.field): open_disclosure(row.text).value
        for row in store.disclosures(wanted)
    }
    return [_entry(event, texts) for event in given]


def _entry(event: Event, texts: Mapping[tuple[str, str], str]) -> Entry:
    data = event.data
    said: dict[str, Any] = {"event": event.id, "kind": event.kind, "team": event.team}
    said |= {"player": event.player, "at": event.at, "entered": event.entered, "by": event.by}
    said |= {key: data[key] for key in _SAYS if key in data} | {"recorded": event.recorded}
    field = _shown_text(event)
    if text := texts.get((event.id, field)):
        said[field] = text
    said = {key: value for key, value in said.items() if value is not None}
    return Entry(event.id, event.kind, event.team, data.get("target"), orjson.dumps(said))


def _shown_text(event: Event) -> str:
    """The personal text that a page shows: a thing's reason, or an unlisted child's name."""
    digests = event.data.get("digests", {})
    if event.kind in OF_THING and "reason" in digests:
        return "reason"
    is_unlisted = (event.player or "").startswith(UNLISTED)
    return "name" if is_unlisted and "name" in digests else ""
