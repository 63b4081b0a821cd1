"""The databases that a ledger can lie in, one line each: every test of the contract runs on all.

A backend makes an empty ledger, opens it again as another program does, and writes a row past
`append`, so that the last line of defense is tried too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.store.opening import open_or_make, open_store
from ledger.store.store import Row, Store
from tests.store.memory import Memory, MemoryStore


@dataclass(frozen=True)
class Backend:
    """`open` opens the ledger once more; `force` writes a row as it is, in an open store."""

    open: Callable[[], Store]
    force: Callable[[Any, Row], object]


def sqlite(folder: Path) -> Backend:
    path = folder / "contract.weighbook"
    with open_or_make(path):
        pass

    def force(store: Any, row: Row) -> None:
        columns, values = ", ".join(row._fields), ", ".join("?" * len(row))
        store.connection.execute(f"insert into event ({columns}) values ({values})", row)

    return Backend(lambda: open_store(path), force)


def memory(folder: Path) -> Backend:
    held = Memory()
    return Backend(lambda: MemoryStore(held), lambda store, row: held.state.with_rows([row]))


BACKENDS = (sqlite, memory)
