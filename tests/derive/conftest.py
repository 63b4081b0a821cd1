"""Fixtures of the tests of derive/."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

import pytest

from ledger import resources
from ledger.derive.queries import needed, queries


@pytest.fixture
def sql_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of sql/ that is used instead of it."""
    copy = copytree(resources.folder("sql"), tmp_path / "sql")
    monkeypatch.setattr(resources, "PACKAGE", tmp_path / "ledger")
    queries.cache_clear()
    needed.cache_clear()
    yield copy
    queries.cache_clear()
    needed.cache_clear()
