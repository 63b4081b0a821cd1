"""Open or make a ledger where its name says it lies: a path is a file of SQLite's."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.errors import StoreError
from ledger.store.sqlite.file import make_file, open_file
from ledger.store.store import Store

Tell = Callable[[str], object]


def open_store(where: str | Path, *, tell: Tell | None = None) -> Store:
    """The ledger at a path; StoreError when it is not there, or no ledger.

    `tell` hears in a line when the file is upgraded.
    """
    if "://" in str(where):
        hint = "A ledger is a file; give its path."
        raise StoreError(f"{where}: unknown kind of store", hint=hint)
    return open_file(Path(where), tell)


@contextmanager
def open_or_make(path: Path, *, tell: Tell | None = None) -> Iterator[Store]:
    """The ledger at a path, or a new one that is there only if the block ends well."""
    if os.path.exists(path):  # False too where the path cannot be looked at: making it says why
        store = open_store(path, tell=tell)
        try:
            yield store
        finally:
            store.close()
    else:
        with make_file(path) as store:
            yield store
