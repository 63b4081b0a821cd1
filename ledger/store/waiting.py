"""Waiting for another program that has the ledger's file: in short steps, so that it can be told.

SQLite waits too, but nothing is heard of it then, and nothing stops it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import TypeVar

from ledger.errors import StoreError

Given = TypeVar("Given")
STEP_SECONDS = 2
"""How long SQLite waits by itself (a connection's timeout)."""
STEPS = 60
_is_told: list[Callable[[], object]] = []


def tell_waiting(told: Callable[[], object]) -> None:
    """`told` is called once for each wait that takes more than a step."""
    _is_told[:] = [told]


def patiently(ask: Callable[[], Given]) -> Given:
    """What `ask` gives, asked again while another program holds the file; StoreError in the end."""
    for step in range(STEPS):
        try:
            return ask()
        except sqlite3.Error as error:
            if not is_busy(error):
                raise
            if step == 0:
                for told in _is_told:
                    told()
    raise StoreError(
        f"another program has kept the ledger busy for {STEPS * STEP_SECONDS} seconds",
        hint="Nothing was recorded. Wait for it to end, or close it, and try again.",
    )


def is_busy(error: BaseException) -> bool:
    """Whether the driver says that another connection holds a lock."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY
