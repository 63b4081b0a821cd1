"""Every database in turn, for the tests of the contract and of what is built on it."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.store import waiting
from tests.store.backends import BACKENDS, Backend


@pytest.fixture(params=BACKENDS, ids=[one.__name__ for one in BACKENDS])
def backend(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Backend:
    """An empty ledger, for which nobody waits long."""
    monkeypatch.setattr(waiting, "STEP_SECONDS", 0.01)
    monkeypatch.setattr(waiting, "STEPS", 2)
    made: Backend = request.param(tmp_path)
    return made
