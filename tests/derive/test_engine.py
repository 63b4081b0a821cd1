"""Engines side by side in one process: each has its own events and moments."""

from __future__ import annotations

import pytest

from ledger.derive import engine as made
from ledger.derive.engine import Answer, Engine
from ledger.derive.findings import find
from tests.random_seasons import random_season
from tests.stored import stored_events


def answers(seed: int) -> list[Answer]:
    engine = Engine(stored_events(random_season(seed)))
    try:
        return [find(engine), *(engine.answer(name) for name in ("eligibility", "exposure"))]
    finally:
        engine.close()


def test_two_at_once_do_not_see_each_other() -> None:
    first, second = Engine([], as_of="2026-09-05T09:00:00.000Z"), Engine([])
    said = [engine.run("select getvariable('as_of')") for engine in (first, second)]
    assert said[0] != said[1] == [(None,)]
    second.make("statement")
    first.make("statement")
    second.close()
    assert first.answer("statement").rows == []
    first.close()


@pytest.mark.parametrize("seed", [2, 7])
def test_many_events_are_answered_as_few_are(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    few = answers(seed)
    monkeypatch.setattr(made, "_FEW", 0)
    assert answers(seed) == few


def test_duckdb_fetches_nothing_from_the_network() -> None:
    """By itself it would install and load whatever part a query lacks."""
    engine = Engine([])
    for setting in ("autoinstall_known_extensions", "autoload_known_extensions"):
        assert engine.run(f"select current_setting('{setting}')") == [(False,)]


class Failing:
    """A connection on which every query fails."""

    def __init__(self, error: Exception) -> None:
        self.error = error

    def execute(self, sql: str, values: object) -> None:
        raise self.error


@pytest.mark.parametrize(
    ("error", "raised"),
    [
        (RuntimeError("Query interrupted"), KeyboardInterrupt),
        (RuntimeError("Query failed"), RuntimeError),
        (NotImplementedError("Query interrupted"), NotImplementedError),
    ],
)
def test_only_duckdbs_own_words_stop_the_program(
    error: Exception, raised: type[BaseException], monkeypatch: pytest.MonkeyPatch
) -> None:
    engine = Engine([])
    monkeypatch.setattr(engine, "connection", Failing(error))
    with pytest.raises(raised):
        engine.run("select 1")
