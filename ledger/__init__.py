"""weighbook: a season ledger with audit trail and dispute reports for weigh-ins.

In Python:

    from ledger import open_ledger

    with open_ledger("season.weighbook") as season:
        table = season.eligibility("acorn-1a", as_of="2026-09-05 09:30")

See `ledger.frames` for the tables and their columns. Errors are `LedgerError`s.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.errors import LedgerError

if TYPE_CHECKING:
    from pathlib import Path

    from ledger.frames import SeasonFrames

__all__ = ["LedgerError", "open_ledger"]


def open_ledger(path: str | Path) -> SeasonFrames:
    """Open a ledger to read its answers as pandas tables; StoreError if there is none."""
    from ledger.frames import SeasonFrames
    from ledger.store.opening import open_store

    return SeasonFrames(open_store(path))
