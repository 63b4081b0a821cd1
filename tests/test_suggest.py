"""Its examples are true."""

from __future__ import annotations

import doctest

from ledger import suggest


def test_examples() -> None:
    found = doctest.testmod(suggest)
    assert (found.attempted, found.failed) == (3, 0)
