"""The file of a ledger: made beside its place and renamed, opened as what it is; WAL, FULL."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.errors import StoreError
from ledger.store import waiting
from ledger.store.sqlite.building import BESIDE, make_building, remove
from ledger.store.sqlite.errors import is_busy, translated, translating
from ledger.store.sqlite.forms import APPLICATION_ID, FORMS, NEWEST
from ledger.store.sqlite.steps import read_older
from ledger.store.sqlite.store import SqliteStore
from ledger.store.waiting import patiently
from ledger.store.written import WRITTEN

INDEX_BYTES = 32 * 1024
"""The least of a whole index of a log (sqlite.org/walformat.html, 2.1)."""
_NOTHING_BESIDE = (
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_READONLY,  # the folder
    sqlite3.SQLITE_IOERR,  # no room for the index
    sqlite3.SQLITE_FULL,
)


def open_file(path: Path, tell: Callable[[str], object] | None = None) -> SqliteStore:
    """The ledger in that file; StoreError when there is none there."""
    with _filing(path):
        if not path.is_file():
            hint = "Name the ledger's file with --store, or make one: weighbook load FOLDER."
            raise StoreError(f"{path}: there is no ledger here", hint=hint)
    connection = _connect_as_may_be(path)
    # Looked at before anything is set: a file of somebody else's stays as it is.
    with translating(connection):
        mark = connection.execute("pragma application_id").fetchone()[0]
        version = connection.execute("pragma user_version").fetchone()[0]
        if mark != APPLICATION_ID:
            raise StoreError(
                f"{path}: this file is not a ledger", hint="Is --store the right path?"
            )
        if version not in FORMS:
            raise StoreError(f"{path}: a ledger of form {version}", hint=_newer(version))
        _set_up(connection)
        read_older(connection)
    return SqliteStore(connection, tell)


@contextmanager
def make_file(path: Path) -> Iterator[SqliteStore]:
    """A new ledger at `path`, there only if the block ends well (load is the only maker).

    It is built in a file beside its place, which only one program at a time can hold; who holds
    it looks whether the place is free, so that two loads cannot overwrite each other.
    """
    building = path.with_name(path.name + ".building")
    with _filing(path):
        if not path.parent.is_dir():
            raise StoreError(f"{path.parent}: there is no such folder", hint="Make it first.")
        if path.is_symlink() and not path.exists():
            hint = f"It leads to {path.resolve()}. Remove the link, or choose another path."
            raise StoreError(f"{path}: this link points nowhere", hint=hint)
        connection = make_building(building, path, _connect)
    before, is_made = len(WRITTEN), False
    try:
        for taken in (path, path.with_name(path.name + "-wal")):
            if taken.exists():
                hint = "Choose another path."
                raise StoreError(f"{taken}: something is already here", hint=hint)
        _make_tables(connection)
        yield SqliteStore(connection)
        with translating():
            connection.execute("pragma wal_checkpoint(truncate)")
        if os.name == "nt":  # which removes and renames nothing that is open
            connection.close()
        with _filing(path):
            remove(building, *BESIDE)  # all is in the file now
            building.rename(path)
        is_made = True
    finally:
        if not is_made and building.exists():  # stopped after the rename, it is made too
            del WRITTEN[before:]
            if os.name == "nt":
                connection.close()
            remove(building, "", *BESIDE)  # while it is held: the next one's stays
        connection.close()


def _newer(form: int) -> str:
    """Which weighbook reads a form that this one does not know."""
    if form < NEWEST:
        return "No weighbook makes this form. Restore the ledger from a copy."
    from importlib.metadata import version

    here = version("weighbook")
    return f"This is weighbook {here}, which reads up to form {NEWEST}. Install the newest one."


def _make_tables(connection: sqlite3.Connection) -> None:
    with translating():
        _set_up(connection)
        for element in FORMS[NEWEST]:
            if element.sql:
                connection.execute(element.sql)
        connection.execute(f"pragma application_id = {APPLICATION_ID}")
        connection.execute(f"pragma user_version = {NEWEST}")


def _connect_as_may_be(path: Path) -> sqlite3.Connection:
    """To read and write; where no file can be made beside it, as on a read-only or a full disk, to
    read it as it lies there. Not while a log or a whole index is beside it: there is more than the
    file, or another program at work. (A full disk leaves a piece of an index.)
    """
    connection = _connect(path)
    try:
        patiently(lambda: connection.execute("pragma application_id"), is_busy)
    except StoreError:
        connection.close()
        raise
    except (sqlite3.Error, UnicodeDecodeError) as error:
        connection.close()
        if getattr(error, "sqlite_errorcode", 0) & 0xFF not in _NOTHING_BESIDE:
            raise translated(error) from error
        log, index = (path.resolve().with_name(path.resolve().name + s) for s in ("-wal", "-shm"))
        with _filing(path):
            whole = index.exists() and index.stat().st_size >= INDEX_BYTES
            if whole or (log.exists() and log.stat().st_size):
                hint = f"Copy it, and {log.name} with it, to a folder you may write to."
                raise StoreError(f"{path}: it cannot be opened where it is", hint=hint) from error
        connection = _connect(path, "mode=ro&immutable=1")
        connection.execute("pragma temp_store = memory")
    return connection


def _connect(path: Path, how: str = "mode=rw") -> sqlite3.Connection:
    with translating():
        where = f"{path.resolve().as_uri()}?{how}"  # never makes a file
        return sqlite3.connect(where, uri=True, isolation_level=None, timeout=waiting.STEP_SECONDS)


def _set_up(connection: sqlite3.Connection) -> None:
    connection.execute("pragma journal_mode = wal")
    connection.execute("pragma synchronous = full")
    connection.execute("pragma recursive_triggers = on")
    connection.execute("pragma secure_delete = on")


@contextmanager
def _filing(path: Path) -> Iterator[None]:
    """The operating system's errors as ours."""
    try:
        yield
    except OSError as error:
        hint = "Choose another path, or ask for the right to use this one."
        raise StoreError(f"{path}: {error.strerror}", hint=hint) from error
