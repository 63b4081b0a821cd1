"""The order in which several chains' events arrive at the store changes no answer.

Each chain's own order is kept, and so is what every event says of its time. That answers would
differ if arrival were ledger order is shown for the reference (tests/test_reference_order.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_game, read_season
from ledger.store.sqlite.store import SqliteStore
from tests.random_seasons import Event, random_season, seasons
from tests.stored import store_of

ANSWERS = ("eligibility", "book", "exposure", "list_signatures", "ineligible_list")


def arriving(events: list[Event], rng: Random) -> list[Event]:
    """The same events in another order of arrival, each chain in its own."""
    waiting: dict[str, list[Event]] = {}
    for event in events:
        waiting.setdefault(event["chain"], []).append(event)
    order = rng.sample([event["chain"] for event in events], len(events))
    chains = {chain: iter(found) for chain, found in waiting.items()}
    return [next(chains[chain]) for chain in order]


def answers(store: SqliteStore) -> Iterator[object]:
    """Answers about the season and its first game, as commands read them."""
    games = sorted(str(stored.event.game) for stored in store.events(kind=["game"]))
    for stored in (read_season(store), *([read_game(store, games[0])] if games else [])):
        engine = Engine(stored)
        rows: list[Any] = [engine.answer(name).dicts() for name in ANSWERS]
        rows.append(find(engine).dicts())
        engine.close()
        yield rows


@settings(max_examples=8, deadline=None)
@given(seasons(40), st.randoms(use_true_random=False))
def test_arrival_changes_no_answer(events: list[Event], rng: Random) -> None:
    assert list(answers(store_of(arriving(events, rng)))) == list(answers(store_of(events)))


@pytest.mark.parametrize("seed", [3, 11, 17])
def test_arrival_changes_no_answer_of_a_whole_season(seed: int) -> None:
    events = random_season(seed)
    assert len({event["chain"] for event in events}) > 1
    other = arriving(events, Random(seed))
    assert [event["chain"] for event in other] != [event["chain"] for event in events]
    assert list(answers(store_of(other))) == list(answers(store_of(events)))
