"""Random seasons: every row can be explained, and every change has statements behind it."""

from __future__ import annotations

import json
from random import Random

import pytest

from ledger.derive.changes import find_changes
from ledger.derive.engine import Engine
from ledger.derive.why import explain
from ledger.say.changes import changes_content, changes_lines
from ledger.say.why import why_content, why_lines
from tests.differential import season_for
from tests.random_seasons import as_of_moments, random_season
from tests.stored import stored_events

ZONE = "America/Chicago"
ROWS = 2


@pytest.mark.parametrize("seed", range(8))
def test_any_row_can_be_explained(seed: int) -> None:
    events = random_season(seed)
    stored = stored_events(events)
    moments = as_of_moments(events)
    as_of = moments[len(moments) * 2 // 3] if seed % 2 else None
    rows = Engine(stored, as_of=as_of).answer("eligibility").dicts()
    for row in Random(seed).sample(rows, min(ROWS, len(rows))):
        why = explain(stored, row["game"], player=row["player"], team=row["team"], as_of=as_of)
        content = why_content(why, str)
        assert sorted(one["event"] for one in content["rests_on"]) == sorted(row["events"])
        for key in ("may_play", "may_carry", "basis", "listed", "number"):
            assert content[key] == row[key]
        assert content["sentence"].endswith(".")
        assert content["would_change"]
        assert json.dumps(content)
        assert why_lines(why, str)


@pytest.mark.parametrize("seed", range(10))
def test_any_change_has_statements_or_corrections(seed: int) -> None:
    events = season_for(seed)
    stored = stored_events(events)
    moments = as_of_moments(events)
    since, until = moments[len(moments) // 2], moments[-1]
    for game in sorted({event["game"] for event in events if event["kind"] == "game"})[:2]:
        changes = find_changes(stored, game, since=since, until=until)
        assert all(change.statements or change.corrections for change in changes)
        for told in (told for change in changes for told in change.statements):
            assert since < told.entered <= until
        span = {"from": since, "to": until, "clock": "entered"}
        assert changes_lines(changes_content(changes, game, span, ZONE, str), ZONE)
