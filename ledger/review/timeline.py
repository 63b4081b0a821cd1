"""A statement as a timeline shows it; by itself, so that what words it imports no packet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.statements import Statement


@dataclass(frozen=True)
class TimelineEntry:
    """A statement of the timeline.

    `data` is what the event holds, `number` the player's in that game, `said` the note or reason,
    None where there is none or it `is_erased`; `is_own` is true for statements about the case.
    """

    statement: Statement
    data: Mapping[str, Any]
    number: int | None
    said: str | None
    is_erased: bool
    is_own: bool
