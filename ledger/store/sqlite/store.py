"""A ledger in SQLite, over a connection that `sqlite.file` has opened."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from heapq import merge

from ledger.chain.event import place_of
from ledger.errors import InputError, StoreError
from ledger.record.kinds import PER_CHILD
from ledger.record.times import now_utc
from ledger.store.sqlite.errors import is_busy, translating
from ledger.store.sqlite.writing import HEAD, SqliteWriting
from ledger.store.store import (
    Disclosure,
    Head,
    Last,
    Store,
    Stored,
    StoredCheckpoint,
    Writing,
)
from ledger.store.waiting import patiently

NOT_PER_CHILD = f"kind not in ({', '.join(map(repr, PER_CHILD))})"
_GAMES = f"select game from event where kind = 'game' and {NOT_PER_CHILD}"  # noqa: S608 - ours
_MOMENT_BEFORE = f"""
    select max(last) from (
        select (
            select entered from event
            where event.game = games.game and entered < :until and recorded <= :known
            order by entered desc limit 1
        ) as last
        from ({_GAMES}) as games
        union all
        select (
            select entered from event
            where game is null and entered < :until and recorded <= :known
            order by entered desc limit 1
        )
    )
"""  # noqa: S608 - ours
_ENTERED_AT = f"""
    select clock, chain, seq, body from event
    where game in ({_GAMES}) and entered = :at and recorded <= :known
    union all
    select clock, chain, seq, body from event
    where game is null and entered = :at and recorded <= :known
    order by clock desc, chain desc, seq desc
"""  # noqa: S608 - ours
# From one name to the next by the index: a count would read every entry of it.
_LENGTHS = """
    with recursive named(chain) as (
        select min(chain) from event
        union all
        select (select min(chain) from event where chain > named.chain)
        from named
        where chain is not null
    )
    select chain, (select max(seq) from event where chain = named.chain)
    from named
    where chain is not null
    order by chain
"""
_FILTERS = frozenset({"kind", "game", "team", "player", "subject", "chain", "ref"})
_MARKS = {"outside_games": "game is null", "with_ref": "ref is not null"}
_MANY = 10_000
TRIES = 5
"""How often readers are waited for, each time as long as the connection's timeout."""
_LATEST = "9999-12-31T23:59:59.999Z"


class SqliteStore(Store):
    """`tell` hears in a line when the file is upgraded."""

    def __init__(
        self, connection: sqlite3.Connection, tell: Callable[[str], object] | None = None
    ) -> None:
        self.connection = connection
        self.clock: Callable[[], str] = now_utc
        self._writing = SqliteWriting(self, connection, tell or (lambda line: None))

    def writing(self) -> AbstractContextManager[Writing]:
        return self._writing

    def events(self, **where: Sequence[str]) -> Iterator[Stored]:
        marks = [_MARKS[name] for name in _MARKS if where.pop(name, None) is not None]
        unknown = where.keys() - _FILTERS
        if unknown:
            raise ValueError(f"no filter {unknown}")
        if any(not values for values in where.values()):
            return
        conditions = [f"{column} in ({', '.join('?' * len(where[column]))})" for column in where]
        conditions += marks
        if "kind" in where and len(where.get("game", ())) == 1:
            # One game has few events; the + keeps SQLite from going through all of the kind.
            conditions = [one.replace("kind in", "+kind in", 1) for one in conditions]
        elif "kind" in where and not set(where["kind"]) & set(PER_CHILD):
            conditions.append(NOT_PER_CHILD)  # in the words of the index, or SQLite passes it by
        if not conditions:
            yield from merge(*(self.events_after(chain, 0) for chain in self._chains()))
            return
        query = f"select clock, chain, seq, body from event where {' and '.join(conditions)}"  # noqa: S608 - ours
        values = [value for column in where for value in where[column]]
        yield from self._stored(query + " order by clock, chain, seq", values)

    def events_after(self, chain: str, seq: int) -> Iterator[Stored]:
        query = "select clock, chain, seq, body from event where chain = ? and seq > ? order by seq"
        return self._stored(query, [chain, seq])

    def _chains(self) -> list[str]:
        with translating():
            return [row[0] for row in self.connection.execute(_LENGTHS)]

    def _stored(self, query: str, values: Sequence[str | int]) -> Iterator[Stored]:
        with translating():
            cursor = self.connection.execute(query, values)
            while rows := cursor.fetchmany(_MANY):
                yield from map(Stored._make, rows)

    def entered_last(
        self, *, as_of: str | None = None, known_at: str | None = None
    ) -> Iterator[Stored]:
        # Game by game, so that no index is needed that every append would have to write.
        until = (as_of or _LATEST) + "+"  # after that moment, before the next
        while True:
            asked = {"until": until, "known": known_at or _LATEST}
            with translating():
                (until,) = self.connection.execute(_MOMENT_BEFORE, asked).fetchone()
                rows = self.connection.execute(_ENTERED_AT, asked | {"at": until}).fetchall()
            if not rows:
                return
            yield from (Stored(*row) for row in rows)

    def events_by_id(self, ids: Sequence[str]) -> Iterator[Stored]:
        query = "select clock, chain, seq, body from event where chain = ? and seq = ?"
        for event_id in ids:
            chain, _, seq = event_id.rpartition(":")
            with translating():
                row = self.connection.execute(query, (chain, seq)).fetchone()
            if not row:
                hint = "An event's id is CHAIN:SEQ, such as office:57."
                raise InputError(f"no event {event_id} in this ledger", hint=hint)
            yield Stored(*row)

    def head(self, chain: str) -> Head:
        with translating():
            row = self.connection.execute(HEAD, (chain,)).fetchone()
        return Head(*row) if row else Head()

    def last(self) -> Last:
        query = "select chain, seq, hash, recorded from event order by position desc limit 1"
        with translating():
            row = self.connection.execute(query).fetchone()
        if not row:
            raise StoreError("this ledger has no events", hint="weighbook load FOLDER fills it.")
        return Last(f"{row[0]}:{row[1]}", row[2], row[3])

    def lengths(self) -> Mapping[str, int]:
        with translating():
            return dict(self.connection.execute(_LENGTHS).fetchall())

    def count_by_game(self) -> Mapping[str, int]:
        query = "select game, count(*) from event where game is not null group by game"
        with translating():
            return dict(self.connection.execute(query).fetchall())

    def disclosures(self, ids: Sequence[str] | None = None) -> Iterator[Disclosure]:
        query = "select chain, seq, field, text from disclosure"
        with translating():
            if ids is None:
                for row in self.connection.execute(query + " order by chain, seq, field"):
                    yield Disclosure(*row)
                return
            one = query + " where chain = ? and seq = ? order by field"
            for event_id in ids:
                for row in self.connection.execute(one, place_of(event_id)):
                    yield Disclosure(*row)

    def hashes(self, chain: str, *, after: int = 0) -> list[bytes]:
        query = "select hash from event where chain = ? and seq > ? order by seq"
        with translating():
            return [row[0] for row in self.connection.execute(query, (chain, after))]

    def checkpoints(self) -> Iterator[StoredCheckpoint]:
        query = "select chain, size, note from checkpoint order by position"
        with translating():
            for row in self.connection.execute(query):
                yield StoredCheckpoint(*row)

    def key(self, name: str) -> bytes | None:
        with translating():
            row = self.connection.execute("select sealed from key where name = ?", (name,))
            found = row.fetchone()
        return found[0] if found else None

    def exhibits(self) -> Mapping[str, str]:
        query = "select sha256, name from exhibit order by sha256"
        with translating():
            return dict(self.connection.execute(query).fetchall())

    def exhibit(self, sha256: str) -> tuple[str, bytes] | None:
        query = "select name, content from exhibit where sha256 = ?"
        with translating():
            found: tuple[str, bytes] | None = self.connection.execute(query, (sha256,)).fetchone()
        return found

    def forget_free_space(self) -> None:
        with translating():
            patiently(lambda: self.connection.execute("vacuum"), is_busy)
            for _ in range(TRIES):
                checkpoint = self.connection.execute("pragma wal_checkpoint(truncate)")
                (is_read, _, _) = checkpoint.fetchone()
                if not is_read:
                    break
        if is_read:  # told in a row, not as an error: sqlite.org/pragma.html#pragma_wal_checkpoint
            hint = "Close it, and try again."
            raise StoreError("another program is reading the ledger's file", hint=hint)

    def close(self) -> None:
        self.connection.close()
