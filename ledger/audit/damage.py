"""Read what is left of a damaged file, and find out what is missing.

SQLite stops reading at the first damaged page. So this reads each table by ranges of rows, halved
around the damage down to single rows, into a temporary table of the same name. The steps of the
audit then read that one. Whole pages that the damaged tree no longer reaches are read page by page
(`ledger.audit.pages`). An index may still show which events are missing.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import NamedTuple

from ledger.audit.links import ChainRead
from ledger.audit.pages import rows_of_event
from ledger.audit.report import Problem
from ledger.audit.rows import TABLES, RawEvent, readable
from ledger.chain.event import Event

Ranges = Sequence[tuple[int, int]]
_LEAST_BYTES = 32
"""Less than any row takes; limits how many rows a page can have."""
_RUNNING = (
    "update temp.event set clock = told.clock from (select position, max(recorded) over "
    "(partition by chain order by seq) as clock from temp.event) as told "
    "where told.position = temp.event.position"
)


class Lost(NamedTuple):
    """Consecutive events of a chain that cannot be read."""

    chain: str
    first: int
    last: int


@dataclass
class Damage:
    """What cannot be read: the missing events (`lost`), and the `tables` that lack rows.

    By chain: `until` is how many of its first events were accepted before the first missing row,
    so that everything they build on is known. `whole` is how many of its first events can be read,
    `length` its highest known number.
    """

    problems: list[Problem]
    lost: list[Lost] = field(default_factory=list)
    until: dict[str, int] = field(default_factory=dict)
    whole: dict[str, int] = field(default_factory=dict)
    length: dict[str, int] = field(default_factory=dict)
    tables: frozenset[str] = frozenset()
    stored: int = 0

    def unread(self, read: Collection[str]) -> list[ChainRead]:
        """Return the chains of which no event can be read."""
        return [ChainRead(one.chain, b"", 0, [], {}) for one in self.lost if one.chain not in read]

    def is_before(self, event: Event) -> bool:
        """Whether everything accepted before this event can be read."""
        return self.is_covered(event.chain, event.seq)

    def is_known(self, problem: Problem) -> bool:
        """Whether the problem is only a gap of unreadable events."""
        return problem.problem == "gap" and any(
            (one.chain, one.first) == (problem.chain, problem.seq) for one in self.lost
        )

    def is_whole(self, chain: str, size: int) -> bool:
        """Whether the chain's first `size` events can be read."""
        return "event" not in self.tables or size <= self.whole.get(chain, 0)

    def is_covered(self, chain: str, size: int) -> bool:
        """Whether everything accepted before the chain's event `size` can be read."""
        return "event" not in self.tables or size <= self.until.get(chain, 0)

    def holds(
        self, chain: str, length: int, wrong: Collection[tuple[str, int | None]]
    ) -> Iterator[str]:
        """Yield a line for each run of the chain's events that are as written."""
        gone = [one for one in self.lost if one.chain == chain]
        seqs = {seq for name, seq in wrong if name == chain and seq}
        ends = sorted({seq for one in gone for seq in range(one.first, one.last + 1)} | seqs)
        before = 0
        for end in [*ends, length + 1]:
            if end > before + 1:
                run = f"{chain}:{before + 1} to " * (end > before + 2) + f"{chain}:{end - 1}"
                yield f"{run}: bytes, hashes and links hold"
            before = max(before, end)


def is_damage(error: sqlite3.Error) -> bool:
    """Whether the driver's error means that the file is damaged."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_IOERR)


def read_around(connection: sqlite3.Connection, error: sqlite3.Error) -> Damage:
    """Cover each table with a temporary one of its readable rows; return what is missing.

    Raises the driver's error if not even the tables' names can be read.
    """
    damage = Damage([_unreadable(f"the file is damaged: {error}")])
    gone: dict[str, Ranges] = {}
    if connection.in_transaction:  # trap: after damage, SQLite writes nothing in a transaction
        connection.execute("rollback")
    for name in ("view if exists temp.event", "table if exists temp.behind"):
        connection.execute(f"drop {name}")
    indexed, is_all = _read_index(connection)
    for table in TABLES:
        most = max(indexed, default=0) if is_all and table == "event" else 0
        gone[table] = _copy(connection, table, most or _most_rows(connection, table))
    gone["event"] = _add_rows_of_pages(connection, gone["event"])
    _finish_event(connection)
    damage.tables = frozenset(table for table in TABLES if gone[table])
    why = "cannot be read: the file is damaged there"
    tables = [table for table in TABLES[1:] if gone[table]]
    damage.problems += [_unreadable(f"rows of the table {table} {why}") for table in tables]
    _find_lost(connection, damage, indexed, gone["event"])
    for chain, first, last in damage.lost:
        run = f"{chain}:{first}" + f" to {chain}:{last}" * (last > first)
        damage.problems.append(Problem(chain, first, "unreadable", f"{run} {why}"))
    if gone["event"] and not damage.lost:
        damage.problems.append(_unreadable(f"rows of the table event {why}"))
    return damage


def _copy(connection: sqlite3.Connection, table: str, most: int) -> list[tuple[int, int]]:
    """Fill temp.`table` from the file; return the ranges of row numbers that cannot be read."""
    columns = [row[1] for row in connection.execute(f"pragma main.table_info({table})")]
    kept = RawEvent._fields if table == "event" else columns
    connection.execute(f"create temp table {table} ({', '.join(kept)})")
    names = ", ".join(columns)
    query = (
        f"insert into temp.{table} ({names}) select {names} from main.{table} not indexed "  # noqa: S608 - ours
        "where rowid between ? and ? order by rowid"
    )
    gone: list[tuple[int, int]] = []
    waiting = [(1, most)]
    while waiting:
        first, last = waiting.pop()
        try:
            connection.execute(query, (first, last))
        except sqlite3.DatabaseError as error:
            if not is_damage(error):
                raise
            if first == last:
                gone.append((first, last))
            else:
                half = (first + last) // 2
                waiting += [(half + 1, last), (first, half)]
    return _joined(gone)


def _most_rows(connection: sqlite3.Connection, table: str) -> int:
    """Return the highest row number, or a limit for it."""
    try:
        found = connection.execute(f"select max(rowid) from main.{table}").fetchone()[0]  # noqa: S608
        return int(found or 0)
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
    pages, size = (
        connection.execute(f"pragma main.{name}").fetchone()[0]
        for name in ("page_count", "page_size")
    )
    return int(pages * (size // _LEAST_BYTES))


def _joined(ranges: Ranges) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for first, last in sorted(ranges):
        if joined and first == joined[-1][1] + 1:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _read_index(connection: sqlite3.Connection) -> tuple[dict[int, tuple[str, int]], bool]:
    """Read chain and number of each event by its position from the index, from both ends.

    Also return whether the whole index could be read.
    """
    found: dict[int, tuple[str, int]] = {}
    for order in ("chain, seq", "chain desc, seq desc"):
        query = (
            "select position, chain, seq from main.event "  # noqa: S608 - ours
            f"indexed by sqlite_autoindex_event_1 order by {order}"
        )
        try:
            for position, chain, seq in connection.execute(query):
                if [*map(type, (position, chain, seq))] == [int, str, int]:
                    found[position] = (readable(chain), seq)
        except sqlite3.DatabaseError:  # damaged too, or missing
            continue
        return found, True
    return found, False


def _add_rows_of_pages(connection: sqlite3.Connection, gone: Ranges) -> list[tuple[int, int]]:
    """Add the events on readable pages; return the ranges that are left."""
    if not gone:
        return []
    columns = [row[1] for row in connection.execute("pragma main.table_info(event)")]
    marks = ", ".join("?" * len(columns))
    put = f"insert into temp.event ({', '.join(columns)}) values ({marks})"  # noqa: S608 - ours
    found: set[int] = set()
    for row in rows_of_event(connection, len(columns)):
        position = row[0]
        if position not in found and any(first <= position <= last for first, last in gone):
            connection.execute(put, row)
            found.add(position)
    left: list[tuple[int, int]] = []
    for first, last in gone:
        start = first
        for position in sorted(one for one in found if first <= one <= last):
            left += [(start, position - 1)] * (position > start)
            start = position + 1
        left += [(start, last)] * (start <= last)
    return left


def _finish_event(connection: sqlite3.Connection) -> None:
    connection.execute("create index temp.event_place on event (chain, seq, position)")
    connection.execute("create index temp.event_order on event (position)")
    columns = {row[1] for row in connection.execute("pragma main.table_info(event)")}
    if "clock" not in columns:
        connection.execute(_RUNNING)


def _find_lost(
    connection: sqlite3.Connection,
    damage: Damage,
    indexed: Mapping[int, tuple[str, int]],
    gone: Ranges,
) -> None:
    read: dict[str, list[tuple[int, int]]] = {}
    query = (
        "select chain, seq, position from temp.event where typeof(chain) = 'text' "
        "and typeof(seq) = 'integer' and typeof(position) = 'integer' order by chain, seq"
    )
    for chain, seq, position in connection.execute(query):
        read.setdefault(readable(chain), []).append((seq, position))
    positions = {position for places in read.values() for _, position in places}
    damage.stored = len(positions | indexed.keys())
    edge = min((first for first, _ in gone), default=None)
    known: dict[str, int] = {}
    for position, (chain, seq) in indexed.items():
        if any(first <= position <= last for first, last in gone):
            known[chain] = max(known.get(chain, 0), seq)
    for chain in sorted(read.keys() | known.keys()):
        before = (0, 0)
        whole = until = 0
        for seq, position in read.get(chain, []):
            if seq > before[0] + 1 and _meets(gone, before[1], position):
                damage.lost.append(Lost(chain, before[0] + 1, seq - 1))
            whole = seq if seq == whole + 1 else whole
            until = seq if seq == until + 1 and (edge is None or position < edge) else until
            before = (seq, position)
        if known.get(chain, 0) > before[0]:
            damage.lost.append(Lost(chain, before[0] + 1, known[chain]))
        damage.until[chain], damage.whole[chain] = until, whole
        damage.length[chain] = max(known.get(chain, 0), before[0])


def _meets(gone: Ranges, before: int, after: int) -> bool:
    """Whether a row between these two positions cannot be read."""
    return any(first < after and last > before for first, last in gone)


_unreadable = partial(Problem.of_file, "unreadable")
