"""How the season's cases ended."""

from __future__ import annotations

from ledger.derive.season_counts import outcomes


def test_a_case_that_is_over_counts_by_its_ruling_and_any_other_by_its_state() -> None:
    rows = [
        {"state": "open", "ruling": None, "cases": 3},
        {"state": "withdrawn", "ruling": None, "cases": 1},
        {"state": "ruled", "ruling": "upheld", "cases": 1},
        {"state": "closed", "ruling": "upheld", "cases": 2},
        {"state": "closed", "ruling": None, "cases": 1},
    ]
    assert outcomes(rows) == {
        "open": 3,
        "withdrawn": 1,
        "upheld": 3,
        "closed without a ruling": 1,
    }
