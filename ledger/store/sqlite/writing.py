"""An open transaction of a ledger in SQLite: what appends, keeps and lets go."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import astuple
from functools import partial
from typing import Self

from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.store.sqlite.errors import is_busy, translated
from ledger.store.sqlite.steps import make_fit
from ledger.store.store import Head, Row, Store, StoredCheckpoint, make_rows
from ledger.store.waiting import patiently
from ledger.store.written import WRITTEN

HEAD = "select seq, hash, clock from event where chain = ? order by seq desc limit 1"
_INSERT = (
    f"insert into event ({', '.join(Row._fields)}) "  # noqa: S608 - our own column names
    f"values ({', '.join('?' * len(Row._fields))})"
)

_READ_BACK = "select hash from event where chain = ? and seq between ? and ? order by seq"


class SqliteWriting:
    """See `ledger.store.store.Writing`; `recorded` is one reading of the clock, under the lock.

    A class with a cursor of its own, one a store: after each wait for the disk all runs cold, and
    generators took a quarter of an append.

    The file is looked at before the first transaction (`steps.make_fit`). What was appended is read
    back before the commit: a trigger or a constraint may swallow a row without an error.
    """

    def __init__(
        self, store: Store, connection: sqlite3.Connection, tell: Callable[[str], object]
    ) -> None:
        self.store = store
        self.recorded = ""
        self._connection = connection
        self._tell = tell
        self._execute = connection.cursor().execute
        self._begin = partial(self._execute, "begin immediate")
        self._is_fit = False

    def __enter__(self) -> Self:
        try:
            if not self._is_fit:
                make_fit(self._connection, self._tell)
                self._is_fit = True
            patiently(self._begin, is_busy)
        except sqlite3.Error as error:
            raise translated(error) from error
        self.recorded = self.store.clock()
        self._ids: list[str] = []
        self._rows: list[list[Row]] = []
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: object
    ) -> None:
        if kind is None:
            try:
                self._read_back()
                self._execute("commit")
            except (sqlite3.Error, StoreError) as failed:
                error = failed
            except KeyboardInterrupt:  # it comes when the commit is done, or before it began
                if self._connection.in_transaction:
                    self._execute("rollback")
                else:
                    WRITTEN.extend(self._ids)
                raise
            else:
                WRITTEN.extend(self._ids)
                return
        if self._connection.in_transaction:  # a full disk has undone it already
            self._execute("rollback")
        if isinstance(error, sqlite3.Error):
            raise translated(error) from error
        if kind is None and error:
            raise error

    def _read_back(self) -> None:
        """StoreError unless every event that was appended lies in the file as it was made."""
        for rows in self._rows:
            first, last = rows[0], rows[-1]
            found = self._execute(_READ_BACK, (first[0], first[1], last[1])).fetchall()
            if found != [(row[3],) for row in rows]:
                hint = "Nothing was recorded. Run weighbook audit: something in the file is wrong."
                raise StoreError("the ledger's file did not keep what was written", hint=hint)

    def append(self, bodies: Sequence[Accepted], *, chain: str) -> list[str]:
        head = self._execute(HEAD, (chain,)).fetchone() or Head()
        if not head[0] and bodies and bodies[0].kind != "chain_key":
            hint = "weighbook status lists the chains. Is --chain the right name?"
            raise InputError(f"no chain {chain} in this ledger", hint=hint)
        rows, disclosures = make_rows(bodies, chain=chain, head=head, recorded=self.recorded)
        self._connection.executemany(_INSERT, rows)
        if rows:
            self._rows.append(rows)
        if disclosures:
            query = "insert into disclosure (chain, seq, field, text) values (?, ?, ?, ?)"
            self._connection.executemany(query, map(astuple, disclosures))
        ids = [f"{row[0]}:{row[1]}" for row in rows]
        self._ids += ids
        return ids

    def keep_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        query = "insert into checkpoint (chain, size, note) values (?, ?, ?)"
        self._connection.execute(query, astuple(checkpoint))

    def keep_key(self, name: str, sealed: bytes) -> None:
        query = "insert or replace into key (name, sealed) values (?, ?)"
        self._connection.execute(query, (name, sealed))

    def keep_exhibit(self, sha256: str, name: str, content: bytes) -> None:
        query = "insert or ignore into exhibit (sha256, name, content) values (?, ?, ?)"
        self._connection.execute(query, (sha256, name, content))

    def drop_disclosures(self, ids: Sequence[str]) -> int:
        query = "delete from disclosure where chain = ? and seq = ?"
        places = [event_id.rpartition(":") for event_id in ids]
        values = [(chain, int(seq)) for chain, _, seq in places]
        return self._connection.executemany(query, values).rowcount

    def drop_exhibit(self, sha256: str) -> None:
        self._connection.execute("delete from exhibit where sha256 = ?", (sha256,))
