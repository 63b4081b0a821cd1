"""One signed season for all tests of a file; for reading."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from ledger.store.sqlite.store import SqliteStore
from tests.signed_season import season


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """The sample season, acorn-1a countersigned by keys of both sides."""
    with season(tmp_path_factory.mktemp("signed") / "season.weighbook") as store:
        yield store
