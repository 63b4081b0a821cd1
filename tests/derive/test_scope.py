"""Reading one game by index gives the same answers as reading the season."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_game
from ledger.record.accepted import Accepted
from tests.derive.season_cases import season_of
from tests.differential import season_for
from tests.random_seasons import as_of_moments, known_at_moments, random_season
from tests.reference.statements import in_ledger_order
from tests.stored import store_of

OVERDUE = """\
at,entered,kind,game,by,case,reason,target,ref
2026-09-05 12:00,2026-09-05 12:00,case_open,g1,we,c1,weigh,,
2026-09-12 12:00,2026-09-12 12:00,concern,g2,so,,cleats,,
2026-09-14 12:00,2026-09-14 12:00,concern,g2,so,,cleats,,odd
2026-09-14 12:00,2026-09-10 12:00,withdraw,,so,,mistaken,odd,
2026-09-20 12:00,2026-09-20 12:00,concern,g2,so,,helmet,,later
2026-09-30 12:00,2026-09-11 12:00,withdraw,,so,,mistaken,later,undone
2026-09-30 13:00,2026-09-25 12:00,withdraw,,so,,not mistaken,undone,
"""


@pytest.mark.parametrize("seed", range(6))
def test_a_game_alone_is_a_game_of_the_season(seed: int) -> None:
    events = season_for(seed)
    rng = Random(seed)
    as_of = rng.choice([None, rng.choice(as_of_moments(events))])
    known_at = rng.choice([None, rng.choice(known_at_moments(events))])
    store = store_of(events)
    season = Engine(store.events(), as_of=as_of, known_at=known_at)
    game = rng.choice(sorted(event["game"] for event in events if event["kind"] == "game"))
    events_of_game = read_game(store, game, as_of=as_of, known_at=known_at)
    alone = Engine(events_of_game, as_of=as_of, known_at=known_at)
    assert find(alone, game=game).rows == find(season, game=game).rows
    for name in ("eligibility", "exposure"):
        assert alone.answer(name, game=game).rows == season.answer(name, game=game).rows


@pytest.mark.parametrize(
    ("as_of", "is_overdue"),
    [
        ("2026-09-13T00:00:00.000Z", False),  # a statement at the end of the seven days
        ("2026-09-15T00:00:00.000Z", False),  # one after it was withdrawn before it was entered
        ("2026-09-21T00:00:00.000Z", False),  # so was the next
        ("2026-09-26T00:00:00.000Z", True),  # and the withdrawal of that was withdrawn
        (None, True),
    ],
)
def test_overdue_goes_by_any_later_statement_that_counts(
    tmp_path: Path, as_of: str | None, is_overdue: bool
) -> None:
    """A case of g1, due by 12 September at noon; what was entered later is not about g1."""
    store = season_of(OVERDUE, tmp_path / "season").store
    season = find(Engine(store.events(), as_of=as_of), game="g1", rule="case_overdue")
    events = read_game(store, "g1", as_of=as_of)
    alone = find(Engine(events, as_of=as_of), game="g1", rule="case_overdue")
    assert alone.rows == season.rows
    assert bool(season.rows) == is_overdue


def test_a_correction_is_not_the_statement_entered_last(tmp_path: Path) -> None:
    """It is entered after everything, but only a statement shows that the days went by."""
    store = season_of(OVERDUE, tmp_path / "season").store
    (division,) = store.events(kind=["division"])
    data = {**division.event.data, "corrects": division.id}
    later = "2026-10-10T12:00:00.000Z"
    with store.writing() as writing:
        writing.append([Accepted("division", data, entered=later, by="rg")], chain=division.chain)
    events = read_game(store, "g1")
    assert events[-1].event.entered == later
    assert find(Engine(events), game="g1", rule="case_overdue").rows


@pytest.mark.parametrize("seed", range(5))
def test_what_was_entered_last_comes_first(seed: int) -> None:
    arrived = random_season(seed)
    store = store_of(arrived)
    events = in_ledger_order(arrived)  # equal times are settled by ledger order
    bodies = [one.body for one in store.events()]
    stated = [n for n, event in enumerate(events) if event.get("entered")]
    stated.sort(key=lambda n: (events[n]["entered"], n), reverse=True)
    rng = Random(seed)
    for _ in range(5):
        as_of = rng.choice([None, rng.choice(as_of_moments(events))])
        known_at = rng.choice([None, rng.choice(known_at_moments(events))])
        by_then = [
            bodies[n]
            for n in stated
            if events[n]["entered"] <= (as_of or "9") and events[n]["recorded"] <= (known_at or "9")
        ]
        found = [one.body for one in store.entered_last(as_of=as_of, known_at=known_at)]
        assert found == by_then
