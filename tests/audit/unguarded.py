"""Open a ledger's file without its guards, and put them back afterwards."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path


@contextmanager
def unguarded(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to the file, which has its triggers again when the block ends."""
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("select name, sql from sqlite_master where type = 'trigger'")
        guards = found.fetchall()
        for name, _ in guards:
            connection.execute(f"drop trigger {name}")
        yield connection
        for _, sql in guards:
            connection.execute(sql)
        connection.commit()
