"""Opening a key with its passphrase, on a thread: it takes a third of a second and 128 MiB."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from anyio import CapacityLimiter, to_thread

from ledger.errors import LedgerError, RuleError
from ledger.field.answers import wrong_passphrase
from ledger.store.opening import open_store
from ledger.store.store import Store

Given = TypeVar("Given")
AT_ONCE = 2


async def try_passphrase(
    ledger: Path,
    opens: Callable[[Store], Given],
    *,
    forgive: Callable[[], None],
    limiter: CapacityLimiter,
) -> Given:
    """What `opens(store)` returns; a Refusal if the passphrase is wrong.

    `forgive` takes back a try that was counted, unless the passphrase was wrong.
    """

    def opened() -> Given:
        store = open_store(ledger)
        try:
            return opens(store)
        finally:
            store.close()

    try:
        found = await to_thread.run_sync(opened, limiter=limiter)
    except RuleError as error:
        raise wrong_passphrase(error) from None
    except LedgerError:
        forgive()
        raise
    forgive()
    return found
