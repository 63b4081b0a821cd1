"""Its examples are true."""

from __future__ import annotations

import doctest

from ledger import near


def test_examples() -> None:
    found = doctest.testmod(near)
    assert (found.attempted, found.failed) == (3, 0)
