"""The file in which a new ledger is built: one program holds it, and none takes it from another.

Whoever builds holds an exclusive lock of SQLite on the file, which the system lets go when the
process ends, however it ends. So a file that nobody holds is left over, and is taken away. The
lock is on a file and not on its name: after taking it, one looks whether the name still leads to
that file. Not flock: on some systems it and SQLite's own locks shut each other out.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from ledger.errors import StoreError

Connect = Callable[[Path], sqlite3.Connection]
BESIDE = ("-wal", "-shm", "-journal")


def make_building(building: Path, of: Path, connect: Connect) -> sqlite3.Connection:
    """The new file, empty, for its owner only, open and held; StoreError while another builds.

    `of` is the ledger's path. Raises OSError where no file can be made there.
    """
    hint = f"Wait for the other load to end. If none is running, delete {building}."
    taken = StoreError(f"{of}: it is being made", hint=hint)
    if not (_make(building) or (_take_away_if_dead(building, connect) and _make(building))):
        raise taken
    # A write-ahead log without its file would be played into the new one.
    remove(building, *BESIDE)
    connection = _hold(building, connect)
    if connection is None:
        raise taken
    return connection


def remove(path: Path, *suffixes: str) -> None:
    for suffix in suffixes:
        path.with_name(path.name + suffix).unlink(missing_ok=True)


def _make(path: Path) -> bool:
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except FileExistsError:
        return False
    return True


def _take_away_if_dead(building: Path, connect: Connect) -> bool:
    """Remove a building that nobody holds; False where somebody does, or it cannot be told."""
    if building.is_symlink() or not building.is_file():
        return False
    connection = _hold(building, connect)
    if connection is None:
        return False
    with closing(connection):
        if os.name != "nt":
            remove(building, *BESIDE, "")
            return True
    try:
        remove(building, *BESIDE, "")  # Windows refuses it while anybody has it open
    except PermissionError:
        return False
    return True


def _hold(building: Path, connect: Connect) -> sqlite3.Connection | None:
    """A connection that holds this file until it is closed; None where another does."""
    before = _look(building)
    if before is None:
        return None
    try:
        connection = connect(building)
    except StoreError:
        return None
    try:
        connection.execute("pragma busy_timeout = 0")
        connection.execute("pragma locking_mode = exclusive")
        connection.execute("begin exclusive")
        connection.execute("commit")  # in this mode it keeps the lock
    except sqlite3.Error:
        connection.close()
        return None
    after = _look(building)
    if after is None or not os.path.samestat(before, after):
        connection.close()
        return None
    return connection


def _look(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except FileNotFoundError:
        return None
