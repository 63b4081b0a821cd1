"""SQL and the plain reference, side by side, on one season.

`differences` names the first row of each answer on which they part; none is expected, ever.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from tests import reference_rules
from tests.derive.season_cases import check_as_declared
from tests.random_seasons import (
    Event,
    as_of_moments,
    corrected,
    known_at_moments,
    random_season,
)
from tests.stored import stored_events

Events = Sequence[Mapping[str, Any]]
# The text leaves open which statements show a finding, except for rules with one finding for each
# statement; the reference gives `events` for those alone, and never `detail`.
COMPARED = ("rule", "game", "team", "player", "official", "side", "case", "at")


def season_for(seed: int) -> list[Event]:
    """A random season; every other one with corrections of its tables."""
    events = random_season(seed)
    return corrected(events, seed) if seed % 2 else events


def moment_for(events: Events, seed: int) -> dict[str, str | None]:
    """Mostly the whole season; for some seeds as of a moment, or as known at one."""
    if seed % 3 == 0:
        moments = as_of_moments(events)
        return {"as_of": moments[seed % len(moments)] if moments else None}
    if seed % 5 == 0:
        moments = known_at_moments(events)
        return {"known_at": moments[seed % len(moments)] if moments else None}
    return {}


def differences(events: Events, moment: Mapping[str, str | None]) -> list[str]:
    """What SQL and the reference say differently about this season at this moment."""
    stored = stored_events(events)
    engine = Engine(stored, **moment)
    try:
        rows = find(engine).dicts()
        check_as_declared(rows, [one.event for one in stored])
        found = [
            *_rows("eligibility", engine, reference_rules.eligibility(events, **moment)),
            *_rows("exposure", engine, reference_rules.exposure(events, **moment)),
            *_findings(rows, reference_rules.findings(events, **moment)),
        ]
        teams = [event["team"] for event in events if event["kind"] == "team"]
        for team in teams:
            expected = reference_rules.book(events, team, **moment)
            if engine.answer("book", team=team).dicts() != expected:
                found.append(f"book of {team}")
    finally:
        engine.close()
    return found


def _rows(name: str, engine: Engine, expected: list[dict[str, Any]]) -> list[str]:
    rows = engine.answer(name).dicts()
    if rows == expected:
        return []
    pairs = zip(rows, expected, strict=False)
    parted = next(((row, other) for row, other in pairs if row != other), (rows, expected))
    return [f"{name}: SQL {parted[0]}; reference {parted[1]}"]


def _findings(rows: list[dict[str, Any]], expected: list[dict[str, Any]]) -> list[str]:
    ours, theirs = Counter(map(_key, rows)), Counter(map(_key, expected))
    found = [f"finding only by SQL: {key}" for key in ours - theirs]
    found += [f"finding only by the reference: {key}" for key in theirs - ours]
    shown = Counter((_key(row), tuple(row["events"])) for row in rows)
    each = Counter((_key(row), tuple(row["events"])) for row in expected if "events" in row)
    found += [f"events of a finding: reference {key}" for key in each - shown]
    if not found and [_key(row) for row in rows] != [_key(row) for row in expected]:
        found.append("the order of findings")
    return found


def _key(row: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(row[name] for name in COMPARED)
