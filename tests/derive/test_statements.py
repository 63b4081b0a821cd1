"""Statements and their withdrawals."""

from __future__ import annotations

from ledger.derive.engine import Engine
from ledger.derive.statements import all_statements, with_withdrawals
from tests.short_season import short_season
from tests.stored import stored_events


def test_a_statement_brings_its_withdrawals_and_theirs() -> None:
    events = short_season(
        "14:40 list ash a1 absent\n"
        "14:41 list ash a2 absent\n"
        "14:42 withdraw target=1\n"
        "14:43 withdraw target=2\n"
        "14:44 withdraw target=3\n"
    )
    stored = stored_events(events)
    statements = all_statements(Engine(stored))
    assert with_withdrawals(["office:1"], statements) == {"office:1", "office:3", "office:5"}
    assert with_withdrawals([], statements) == set()
