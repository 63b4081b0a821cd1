"""Wait in short steps for another program that has the ledger, and say so.

A database also waits, but says nothing meanwhile, and Ctrl-C does not stop it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from ledger.errors import StoreError

Given = TypeVar("Given")
STEP_SECONDS = 2
"""How long the database waits in each step (a connection's timeout)."""
STEPS = 60
_is_told: list[Callable[[], object]] = []


def tell_waiting(told: Callable[[], object]) -> None:
    """`told` is called once for each wait that takes more than a step."""
    _is_told[:] = [told]


def patiently(ask: Callable[[], Given], is_busy: Callable[[Exception], bool]) -> Given:
    """What `ask` returns, asked again while another program holds the lock; StoreError in the end.

    `is_busy` tells the driver's error for a held lock from all others, which are raised.
    """
    for step in range(STEPS):
        try:
            return ask()
        except Exception as error:
            if not is_busy(error):
                raise
            if step == 0:
                for told in _is_told:
                    told()
    raise StoreError(
        f"another program has kept the ledger busy for {STEPS * STEP_SECONDS} seconds",
        hint="Nothing was recorded. Wait for it to end, or close it, and try again.",
    )
