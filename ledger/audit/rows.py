"""The audit's own reading of a ledger's file: as it lies there, without the writer's code."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from ledger.errors import StoreError


class RawEvent(NamedTuple):
    """A row of the event table, unchecked: SQLite lets any value stand in any column."""

    position: int
    chain: Any
    seq: Any
    prev: Any
    hash: Any
    body: Any
    kind: Any
    recorded: Any
    entered: Any
    game: Any
    team: Any
    player: Any
    subject: Any
    ref: Any


@contextmanager
def open_to_read(path: Path) -> Iterator[sqlite3.Connection]:
    """The file, read only; StoreError when it is not there or cannot be read to its end."""
    if not os.path.isfile(path):
        raise StoreError(f"{path}: there is no ledger here", hint="Name it with --store.")
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
    # A tampered body may hold bytes that are no text: they are looked at, not refused.
    connection.text_factory = lambda data: data.decode("utf-8", "surrogateescape")
    try:
        yield connection
    # UnicodeDecodeError: a damaged schema's text in the driver's own message.
    except (sqlite3.Error, UnicodeDecodeError) as error:
        hint = "Restore it from a copy; the copies that others hold stay valid."
        raise StoreError(f"{path}: no ledger can be read here: {error}", hint=hint) from error
    finally:
        connection.close()


def read_events(connection: sqlite3.Connection) -> Iterator[RawEvent]:
    """Every event row by chain and seq, then position."""
    columns = ", ".join(RawEvent._fields)
    query = f"select {columns} from event order by chain, seq, position"  # noqa: S608 - our names
    yield from (RawEvent(*row) for row in connection.execute(query))


def count_events(connection: sqlite3.Connection) -> int:
    """How many event rows there are."""
    return int(connection.execute("select count(*) from event").fetchone()[0])
