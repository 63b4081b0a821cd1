"""The driver's errors as ours."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from ledger.errors import StoreError


@contextmanager
def translating(closing: sqlite3.Connection | None = None) -> Iterator[None]:
    """The driver's errors as ours; closes `closing` when one comes."""
    try:
        yield
    # UnicodeDecodeError: a damaged schema's text in the driver's own message.
    except (sqlite3.Error, UnicodeDecodeError) as error:
        if closing:
            closing.close()
        raise translated(error) from error
    except StoreError:
        if closing:
            closing.close()
        raise


def translated(error: Exception) -> StoreError:
    """The driver's error as ours."""
    if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_READONLY:
        hint = (
            "If the disk is full, make room on it. If the folder is write-protected, copy the file "
            "to a folder that you may write to, and name the copy with --store."
        )
        return StoreError("the ledger's file cannot be written", hint=hint)
    if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL:
        hint = "Make room on it, and run the same command again."
        return StoreError("the disk is full", hint=hint)
    busy = "locked" in str(error)
    hint = "Another program is writing; try again." if busy else "Is it an undamaged ledger?"
    return StoreError(f"the ledger's file cannot be used: {error}", hint=hint)


def is_busy(error: Exception) -> bool:
    """Whether the driver says that another connection holds a lock."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY
