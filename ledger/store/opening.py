"""Open a ledger by path; another database's URL would be told apart here."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.errors import StoreError
from ledger.store.sqlite import SqliteStore
from ledger.store.sqlite_file import make_file, open_file


def open_store(where: str | Path) -> SqliteStore:
    """The ledger at a path; StoreError when it is not there, or no ledger."""
    if "://" in str(where):
        hint = "Only a file is known as a ledger so far; give its path."
        raise StoreError(f"{where}: this kind of store is not known", hint=hint)
    return open_file(Path(where))


@contextmanager
def open_or_make(
    path: Path, *, tell: Callable[[str], object] | None = None
) -> Iterator[SqliteStore]:
    """The ledger at a path, or a new one that is there only if the block ends well.

    `tell` hears in a line when the file is upgraded.
    """
    if os.path.exists(path):  # False too where the path cannot be looked at: making it says why
        store = open_store(path)
        store.tell = tell or store.tell
        try:
            yield store
        finally:
            store.close()
    else:
        with make_file(path) as store:
            yield store
