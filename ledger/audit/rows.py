"""Read a ledger's file without the writer's code."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from ledger.chain.event import Event, parse_event
from ledger.errors import InputError, StoreError

_ROWS = "select position, clock, chain, seq, body from event"
_FEW = 64
"""Rows that fit the processor's cache."""
INDEX_BYTES = 32 * 1024
"""The smallest complete index of a log (sqlite.org/walformat.html, 2.1)."""
_NOTHING_BESIDE = (
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_READONLY,  # the folder
    sqlite3.SQLITE_IOERR,  # no room for the index
    sqlite3.SQLITE_FULL,
)
RESTORE = "Restore it from a copy. Copies that others kept stay valid."
TABLES = ("event", "disclosure", "checkpoint", "key", "exhibit")


class RawEvent(NamedTuple):
    """An unchecked row of the event table: SQLite allows any value in any column."""

    position: Any
    chain: Any
    seq: Any
    prev: Any
    hash: Any
    body: Any
    kind: Any
    recorded: Any
    clock: Any
    entered: Any
    game: Any
    team: Any
    player: Any
    subject: Any
    ref: Any


class Placed(NamedTuple):
    """An event, its place in the order of acceptance, and the latest `recorded` so far."""

    position: int
    clock: str
    event: Event


@contextmanager
def open_to_read(path: Path) -> Iterator[sqlite3.Connection]:
    """Open the file read-only, as of one moment; StoreError if it cannot be read to its end."""
    if not os.path.isfile(path):
        raise StoreError(f"{path}: there is no ledger here", hint="Name it with --store.")
    try:
        with closing(_connect(path)) as connection:
            yield connection
    # Trap: a damaged schema's text in the driver's own message raises UnicodeDecodeError.
    except (sqlite3.Error, UnicodeDecodeError) as error:
        hint = RESTORE
        if _code(error) in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
            beside = f"{path.resolve().name}-wal"
            hint = f"Copy it, and {beside} with it if there is one, to a folder you may write to."
        raise StoreError(f"{path}: cannot read a ledger here: {error}", hint=hint) from error


def _connect(path: Path) -> sqlite3.Connection:
    """Open the file, as immutable if SQLite cannot make its own files beside it.

    A read-only or full disk prevents that. With a log beside the file, immutable would skip it.
    """
    try:
        return _begin(path, "mode=ro")
    except sqlite3.Error as error:
        real = path.resolve()
        log, index = (real.with_name(f"{real.name}{end}") for end in ("-wal", "-shm"))
        is_in_use = index.exists() and index.stat().st_size >= INDEX_BYTES
        has_log = log.exists() and log.stat().st_size
        if _code(error) not in _NOTHING_BESIDE or is_in_use or has_log:
            raise
        return _begin(path, "mode=ro&immutable=1")


def _begin(path: Path, how: str) -> sqlite3.Connection:
    uri = f"{path.resolve().as_uri()}?{how}"
    connection = sqlite3.connect(uri, uri=True, isolation_level=None)
    try:
        # Never write to a disk: it may be full, and names must not stay on it.
        connection.execute("pragma temp_store = memory")
        connection.execute("begin")
        connection.execute("select 1 from sqlite_master").fetchone()
    except BaseException:
        connection.close()
        raise
    return connection


def _code(error: Exception) -> int:
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def look_at_any_text(connection: sqlite3.Connection) -> None:
    """From now on, also read text that is not UTF-8."""
    connection.text_factory = lambda data: data.decode("utf-8", "surrogateescape")


def read_events(connection: sqlite3.Connection) -> Iterator[RawEvent]:
    """Yield every event row by chain, seq and position."""
    columns = ", ".join(RawEvent._fields)
    query = f"select {columns} from event order by chain, seq, position"  # noqa: S608 - our names
    yield from (RawEvent(*row) for row in connection.execute(query))


def fetch_few(
    connection: sqlite3.Connection, columns: str, first: int, last: int
) -> Iterator[list[Any]]:
    """Yield these columns of the rows at positions `first` to `last`, a few rows at a time."""
    query = f"select {columns} from event where position between ? and ? order by position"  # noqa: S608 - our names
    cursor = connection.execute(query, (first, last))
    while rows := cursor.fetchmany(_FEW):
        yield rows


def have_type(values: Iterable[Any], kind: type) -> bool:
    """Whether every value has exactly this type (True does not count as int)."""
    return set(map(type, values)) == {kind}


def count_events(connection: sqlite3.Connection) -> int:
    """Count the event rows themselves, because an index may leave some out."""
    return int(connection.execute("select count(*) from event not indexed").fetchone()[0])


def read_kinds(connection: sqlite3.Connection, kinds: Sequence[str]) -> Iterator[Placed]:
    """Yield the events of these kinds in the order of acceptance; skip rows that do not parse."""
    marks = ", ".join("?" * len(kinds))
    query = f"{_ROWS} where kind in ({marks}) order by position"
    return _parsed(connection.execute(query, list(kinds)))


def read_games(connection: sqlite3.Connection, games: Sequence[str]) -> Iterator[Placed]:
    """Yield the events of these games; each game's in the order of acceptance."""
    for game in games:
        yield from _parsed(connection.execute(f"{_ROWS} where game = ? order by position", (game,)))


def read_ordered(connection: sqlite3.Connection, kinds: Sequence[str]) -> list[Event]:
    """Return the events of these kinds in ledger order."""
    return [one.event for one in sorted(read_kinds(connection, kinds), key=ledger_order)]


def ledger_order(placed: Placed) -> tuple[str, str, int]:
    return placed.clock, placed.event.chain, placed.event.seq


def read_disclosing(connection: sqlite3.Connection) -> Iterator[Placed]:
    """Yield the events with digests of personal text, in the order of acceptance."""
    query = f"{_ROWS} where instr(body, '\"digests\":') order by position"
    return _parsed(connection.execute(query))


def read_first(connection: sqlite3.Connection, chain: str) -> Event | None:
    """Return the chain's first event."""
    query = f"{_ROWS} where chain = ? and seq = 1 order by position"
    return next((placed.event for placed in _parsed(connection.execute(query, (chain,)))), None)


def find_place(connection: sqlite3.Connection, chain: str, seq: int) -> int | None:
    """Return the event's place in the order of acceptance, or None if there is no such event."""
    query = (
        "select position from event where chain = ? and seq = ? and typeof(position) = 'integer'"
    )
    found = connection.execute(query, (chain, seq)).fetchone()
    return int(found[0]) if found else None


def raw_bytes(body: str | bytes) -> bytes:
    """Return the stored bytes of a value."""
    return body if isinstance(body, bytes) else body.encode("utf-8", "surrogateescape")


def readable(value: Any) -> str:
    """Return a value to print, even if its bytes are not text."""
    text = value if isinstance(value, str) else repr(value)
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def _parsed(rows: sqlite3.Cursor) -> Iterator[Placed]:
    for position, clock, chain, seq, body in rows:
        if type(position) is int and isinstance(body, str | bytes):
            try:
                event = parse_event(raw_bytes(body))
            except InputError:
                continue
            if (event.chain, event.seq) == (chain, seq):
                yield Placed(position, str(clock), event)
