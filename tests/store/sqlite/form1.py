"""A small ledger of form 1 (see the head of form1.sql): written to a file."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

DUMP = Path(__file__).with_name("form1.sql")
EVENTS = 60


def write_form1(path: Path) -> Path:
    """The ledger at `path`."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript("pragma journal_mode = wal;" + DUMP.read_text(encoding="utf-8"))
    return path
