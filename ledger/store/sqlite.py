"""A ledger in one SQLite file: WAL, synchronous=FULL, BEGIN IMMEDIATE."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import astuple
from pathlib import Path
from typing import Self

from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.store import (
    NOT_OF_MANY,
    OF_MANY,
    Disclosure,
    Head,
    Last,
    Row,
    Stored,
    StoredCheckpoint,
    Writing,
    make_rows,
)

APPLICATION_ID = 0x77656967
"""Marks the file as a ledger in SQLite's header (the letters "weig")."""
SCHEMA_VERSION = 1
BUSY_SECONDS = 10

_COLUMNS = Row._fields
_INSERT = (
    f"insert into event ({', '.join(_COLUMNS)}) "  # noqa: S608 - our own column names
    f"values ({', '.join('?' * len(_COLUMNS))})"
)
_HEAD = "select seq, hash from event where chain = ? order by seq desc limit 1"
_GAMES = f"select game from event where kind = 'game' and {NOT_OF_MANY}"  # noqa: S608 - ours
_LAST = "select entered from event where {} and entered < :until and recorded <= :known"
_LAST += " order by entered desc limit 1"
_MOMENT_BEFORE = (
    f"select max(last) from (select ({_LAST.format('event.game = games.game')}) as last "  # noqa: S608
    f"from ({_GAMES}) as games union all select ({_LAST.format('game is null')}))"
)
_AT = "select position, body from event where {} and entered = :at and recorded <= :known"
_ENTERED_AT = (
    f"{_AT.format(f'game in ({_GAMES})')} union all {_AT.format('game is null')} "
    "order by position desc"
)
_FILTERS = frozenset({"kind", "game", "team", "player", "subject", "chain"})
_MANY = 10_000
_LATEST = "9999-12-31T23:59:59.999Z"


class SqliteStore:
    """See `ledger.store.store.Store`."""

    def __init__(self, connection: sqlite3.Connection, clock: Callable[[], str] = now_utc) -> None:
        self.connection = connection
        self.clock = clock

    def writing(self) -> AbstractContextManager[Writing]:
        return _SqliteWriting(self)

    def events(self, **where: Sequence[str]) -> Iterator[Stored]:
        outside = where.pop("outside_games", None) is not None
        unknown = where.keys() - _FILTERS
        if unknown:
            raise ValueError(f"no filter {unknown}")
        if any(not values for values in where.values()):
            return
        conditions = [f"{column} in ({', '.join('?' * len(where[column]))})" for column in where]
        conditions += ["game is null"] if outside else []
        if "kind" in where and not set(where["kind"]) & set(OF_MANY):
            conditions.append(NOT_OF_MANY)  # in the words of the index, or SQLite passes it by
        query = "select position, body from event"
        query += f" where {' and '.join(conditions)}" if conditions else ""
        values = [value for column in where for value in where[column]]
        with _speaking():
            cursor = self.connection.execute(query + " order by position", values)
            while rows := cursor.fetchmany(_MANY):
                yield from (Stored(*row) for row in rows)

    def entered_last(
        self, *, as_of: str | None = None, known_at: str | None = None
    ) -> Iterator[Stored]:
        # Game by game, so that no index is needed that every append would have to write.
        until = (as_of or _LATEST) + "+"  # after that moment, before the next
        while True:
            asked = {"until": until, "known": known_at or _LATEST}
            with _speaking():
                (until,) = self.connection.execute(_MOMENT_BEFORE, asked).fetchone()
                rows = self.connection.execute(_ENTERED_AT, asked | {"at": until}).fetchall()
            if not rows:
                return
            yield from (Stored(*row) for row in rows)

    def events_by_id(self, ids: Sequence[str]) -> Iterator[Stored]:
        query = "select position, body from event where chain = ? and seq = ?"
        for event_id in ids:
            chain, _, seq = event_id.rpartition(":")
            with _speaking():
                row = self.connection.execute(query, (chain, seq)).fetchone()
            if not row:
                hint = "An event's id is CHAIN:SEQ, such as office:57."
                raise InputError(f"no event {event_id} in this ledger", hint=hint)
            yield Stored(*row)

    def head(self, chain: str) -> Head:
        with _speaking():
            row = self.connection.execute(_HEAD, (chain,)).fetchone()
        return Head(*row) if row else Head()

    def last(self) -> Last:
        query = "select chain, seq, hash, recorded from event order by position desc limit 1"
        with _speaking():
            row = self.connection.execute(query).fetchone()
        if not row:
            raise StoreError("this ledger holds no events", hint="weighbook load FOLDER fills it.")
        return Last(f"{row[0]}:{row[1]}", row[2], row[3])

    def lengths(self) -> Mapping[str, int]:
        query = "select chain, count(*) from event group by chain order by chain"
        with _speaking():
            return dict(self.connection.execute(query).fetchall())

    def count_by_game(self) -> Mapping[str, int]:
        query = "select game, count(*) from event where game is not null group by game"
        with _speaking():
            return dict(self.connection.execute(query).fetchall())

    def disclosures(self, ids: Sequence[str] | None = None) -> Iterator[Disclosure]:
        query = "select chain, seq, field, text from disclosure"
        with _speaking():
            if ids is None:
                for row in self.connection.execute(query + " order by chain, seq, field"):
                    yield Disclosure(*row)
                return
            one = query + " where chain = ? and seq = ? order by field"
            for event_id in ids:
                chain, _, seq = event_id.rpartition(":")
                for row in self.connection.execute(one, (chain, int(seq))):
                    yield Disclosure(*row)

    def hashes(self, chain: str) -> list[bytes]:
        query = "select hash from event where chain = ? order by seq"
        with _speaking():
            return [row[0] for row in self.connection.execute(query, (chain,))]

    def checkpoints(self) -> Iterator[StoredCheckpoint]:
        query = "select chain, size, note from checkpoint order by position"
        with _speaking():
            for row in self.connection.execute(query):
                yield StoredCheckpoint(*row)

    def witnessed(self) -> Mapping[str, int]:
        query = "select chain, max(size) from checkpoint group by chain order by chain"
        with _speaking():
            return dict(self.connection.execute(query).fetchall())

    def key(self, name: str) -> bytes | None:
        with _speaking():
            row = self.connection.execute("select sealed from key where name = ?", (name,))
            found = row.fetchone()
        return found[0] if found else None

    def exhibits(self) -> Mapping[str, str]:
        query = "select sha256, name from exhibit order by sha256"
        with _speaking():
            return dict(self.connection.execute(query).fetchall())

    def forget_free_space(self) -> None:
        with _speaking():
            self.connection.execute("vacuum")
            self.connection.execute("pragma wal_checkpoint(truncate)")

    def close(self) -> None:
        self.connection.close()


class _SqliteWriting:
    """The open transaction; `recorded` is one reading of the clock, under the lock.

    A class, since after each wait for the disk generators run cold: a quarter of an append.
    """

    def __init__(self, store: SqliteStore) -> None:
        self.store = store
        self._execute = store.connection.execute

    def __enter__(self) -> Self:
        try:
            self._execute("begin immediate")
        except sqlite3.Error as error:
            raise _spoken(error) from error
        self._recorded = self.store.clock()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: object
    ) -> None:
        try:
            if kind is None:
                self._execute("commit")
                return
        except sqlite3.Error as failed:
            error = failed
        if self.store.connection.in_transaction:  # a full disk has undone it already
            self._execute("rollback")
        if isinstance(error, sqlite3.Error):
            raise _spoken(error) from error

    def append(self, bodies: Sequence[Accepted], *, chain: str) -> list[str]:
        head = self._execute(_HEAD, (chain,)).fetchone() or Head()
        rows, disclosures = make_rows(bodies, chain=chain, head=head, recorded=self._recorded)
        connection = self.store.connection
        connection.executemany(_INSERT, rows)
        if disclosures:
            query = "insert into disclosure (chain, seq, field, text) values (?, ?, ?, ?)"
            connection.executemany(query, map(astuple, disclosures))
        return [f"{row[0]}:{row[1]}" for row in rows]

    def keep_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        query = "insert into checkpoint (chain, size, note) values (?, ?, ?)"
        self.store.connection.execute(query, astuple(checkpoint))

    def keep_key(self, name: str, sealed: bytes) -> None:
        query = "insert or replace into key (name, sealed) values (?, ?)"
        self.store.connection.execute(query, (name, sealed))

    def keep_exhibit(self, sha256: str, name: str, content: bytes) -> None:
        query = "insert or ignore into exhibit (sha256, name, content) values (?, ?, ?)"
        self.store.connection.execute(query, (sha256, name, content))

    def drop_disclosures(self, ids: Sequence[str]) -> int:
        query = "delete from disclosure where chain = ? and seq = ?"
        places = [event_id.rpartition(":") for event_id in ids]
        values = [(chain, int(seq)) for chain, _, seq in places]
        return self.store.connection.executemany(query, values).rowcount

    def drop_exhibit(self, sha256: str) -> None:
        self.store.connection.execute("delete from exhibit where sha256 = ?", (sha256,))


def open_file(path: Path) -> SqliteStore:
    """The ledger in that file; StoreError when there is none there."""
    with _filing(path):
        if not path.is_file():
            hint = "Name the ledger's file with --store, or make one: weighbook load FOLDER."
            raise StoreError(f"{path}: there is no ledger here", hint=hint)
    connection = _connect(path)
    # Looked at before anything is set: a file of somebody else's stays as it is.
    with _speaking(connection):
        mark = connection.execute("pragma application_id").fetchone()[0]
        version = connection.execute("pragma user_version").fetchone()[0]
        if mark != APPLICATION_ID:
            raise StoreError(f"{path}: this file is no ledger", hint="Is --store the right path?")
        if version != SCHEMA_VERSION:
            hint = "Open it with the version of weighbook that made it, or a later one."
            raise StoreError(f"{path}: a ledger of form {version}, not known here", hint=hint)
        _set_up(connection)
    return SqliteStore(connection)


@contextmanager
def make_file(path: Path) -> Iterator[SqliteStore]:
    """A new ledger at `path`, there only if the block ends well (load is the only maker).

    It is built in a file beside its place, which only one program at a time can make; who has
    made it looks whether the place is free, so that two loads cannot overwrite each other.
    """
    building = path.with_name(path.name + ".building")
    with _filing(path):
        if not path.parent.is_dir():
            raise StoreError(f"{path.parent}: there is no such folder", hint="Make it first.")
        try:
            building.open("xb").close()
        except FileExistsError:
            hint = f"Another load is at work; if none is, one was stopped: delete {building}."
            raise StoreError(f"{path}: it is being made", hint=hint) from None
    try:
        # A write-ahead log without its file would be played into the new one.
        _remove(building, "-wal", "-shm")
        for taken in (path, path.with_name(path.name + "-wal")):
            if taken.exists():
                hint = "Choose another path."
                raise StoreError(f"{taken}: there is something here already", hint=hint)
        connection = _connect(building)
        try:
            _make_tables(connection)
            yield SqliteStore(connection)
            with _speaking():
                connection.execute("pragma wal_checkpoint(truncate)")
        finally:
            connection.close()
        with _filing(path):
            building.rename(path)
    finally:
        _remove(building, "", "-wal", "-shm")


def _make_tables(connection: sqlite3.Connection) -> None:
    from ledger.store.tables import schema

    with _speaking():
        _set_up(connection)
        for statement in schema():
            connection.execute(statement)
        connection.execute(f"pragma application_id = {APPLICATION_ID}")
        connection.execute(f"pragma user_version = {SCHEMA_VERSION}")


def _remove(path: Path, *suffixes: str) -> None:
    for suffix in suffixes:
        path.with_name(path.name + suffix).unlink(missing_ok=True)


def _connect(path: Path) -> sqlite3.Connection:
    with _speaking():
        where = f"{path.resolve().as_uri()}?mode=rw"  # never makes a file
        return sqlite3.connect(where, uri=True, isolation_level=None, timeout=BUSY_SECONDS)


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


@contextmanager
def _speaking(closing: sqlite3.Connection | None = None) -> Iterator[None]:
    """The driver's errors as ours; closes `closing` when one comes."""
    try:
        yield
    # UnicodeDecodeError: a damaged schema's text in the driver's own message.
    except (sqlite3.Error, UnicodeDecodeError) as error:
        if closing:
            closing.close()
        raise _spoken(error) from error
    except StoreError:
        if closing:
            closing.close()
        raise


def _spoken(error: Exception) -> StoreError:
    """The driver's error as ours."""
    busy = "locked" in str(error)
    hint = "Another program is writing; try again." if busy else "Is it a ledger, and whole?"
    return StoreError(f"the ledger's file cannot be used: {error}", hint=hint)
