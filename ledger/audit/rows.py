"""The audit's own reading of a ledger's file: as it lies there, without the writer's code."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from ledger.chain.event import Event, parse_event
from ledger.errors import InputError, StoreError

SPOKEN = ("chain_key", "official_key", "key_revoked", "countersign", "list", "strike_off",
          "withdraw", "erasure", "redaction")  # fmt: skip
"""Kinds that steps 3 to 6 listen to, beside events with personal text."""


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


def read_range(
    connection: sqlite3.Connection, chain: str, first: int, last: int
) -> Iterator[RawEvent]:
    """The event rows of a chain from seq `first` to seq `last`."""
    columns = ", ".join(RawEvent._fields)
    query = (
        f"select {columns} from event where chain = ? and seq between ? and ? "  # noqa: S608
        "order by seq, position"
    )
    yield from (RawEvent(*row) for row in connection.execute(query, (chain, first, last)))


def read_spoken(connection: sqlite3.Connection) -> Iterator[Event]:
    """Events that steps 3 to 6 listen to, in ledger order; what is no event step 2 has told."""
    kinds = ", ".join("?" * len(SPOKEN))
    query = (
        f"select body from event where kind in ({kinds}) "  # noqa: S608 - only question marks
        "or instr(body, '\"digests\"') > 0 order by position"
    )
    for (body,) in connection.execute(query, SPOKEN):
        try:
            yield parse_event(as_bytes(body))
        except InputError:
            continue


def count_events(connection: sqlite3.Connection) -> int:
    """How many event rows there are."""
    return int(connection.execute("select count(*) from event").fetchone()[0])


def whole_chains(connection: sqlite3.Connection) -> dict[str, int]:
    """Length by chain, if every chain counts from 1 to its length; else nothing."""
    query = "select chain, count(*), min(seq), max(seq), count(distinct seq) from event group by 1"
    rows = connection.execute(query).fetchall()
    whole = all(
        isinstance(chain, str) and type(least) is type(most) is int and (least, most, apart)
        == (1, count, count)
        for chain, count, least, most, apart in rows
    )  # fmt: skip
    return {row[0]: row[1] for row in rows} if whole else {}


def as_bytes(value: Any) -> bytes:
    """The bytes that lie in a column, whatever SQLite took them for."""
    if isinstance(value, bytes):
        return value
    return str(value).encode("utf-8", "surrogateescape")


def readable(value: Any) -> str:
    """A value in print, even where somebody wrote bytes that are no text."""
    text = value if isinstance(value, str) else repr(value)
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
