"""The SQL agrees with an independent reading of sql/README.md on random seasons.

The reference (`tests/reference_rules.py`) was written from the text of the rules alone. The bench
`tests/bench/bench_differential.py` runs the same on a thousand, or as many as it is asked for.
"""

from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from tests.differential import differences, moment_for, season_for
from tests.random_seasons import seasons

SEASONS, CHUNK = 60, 5


@pytest.mark.parametrize("begin", range(0, SEASONS, CHUNK))
def test_seeded_seasons(begin: int) -> None:
    for seed in range(begin, begin + CHUNK):
        events = season_for(seed)
        assert differences(events, moment_for(events, seed)) == [], f"seed {seed}"


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(seasons())
def test_seasons_that_shrink(events: list[Mapping[str, Any]]) -> None:
    assert differences(events, {}) == []
