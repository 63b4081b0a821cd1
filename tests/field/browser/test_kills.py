"""Kills at random moments; `tests/bench/bench_kills.py` does many more."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.field.kills import weigh_and_kill


@pytest.mark.long
def test_kills_lose_nothing_and_repeat_nothing(playwright: Playwright, tmp_path: Path) -> None:
    morning = weigh_and_kill(playwright, tmp_path, kills=10, seed=7)
    assert morning.faults == []
    assert morning.server_kills > 0
    assert morning.browser_kills > 0
    assert len(morning.held) > 20
