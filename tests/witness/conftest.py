"""One signed season for all tests of a file; a test that writes makes its own copy."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from ledger.store.sqlite.store import SqliteStore
from tests.signed_season import season


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """The sample season with acorn-1a countersigned, for reading only."""
    with season(tmp_path_factory.mktemp("signed") / "season.weighbook") as store:
        yield store
