"""The ledger's file as such: its tables, its guards, and that its indexes agree with its rows.

Answers find their events by index. An index that leaves out a row hides that event from them,
while every row and hash is as it was; SQLite's own check compares both.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator

from ledger.audit.report import Problem
from ledger.audit.rows import TABLES, readable
from ledger.errors import StoreError

GUARDS = (
    "event_insert",
    "event_update",
    "event_delete",
    "checkpoint_update",
    "checkpoint_delete",
)
_ONCE = {"disclosure": "chain, seq, field", "key": "name", "exhibit": "sha256"}
"""What no two rows may share. Where a table was made anew without its constraints, one reader
might be shown the one row and another the other."""
_GUARD = re.compile(
    r"create trigger (\w+)_(\w+) before \2 on \1"
    r"( when new\.prev is not iif\(new\.seq = 1, zeroblob\(32\), "
    r"\(select hash from event where chain = new\.chain and seq = new\.seq - 1\)\))? "
    r"begin select raise\(abort, '[^']*'\); end"
)


def check_file(connection: sqlite3.Connection) -> Iterator[Problem]:
    """(1) The file: tables with no row twice, no trigger but the guards, indexes that hide none.

    Raises StoreError for a table that is missing.
    """
    forms = _things(connection, "table", "view")
    for table in TABLES:
        if table not in forms:
            hint = "Restore it from a copy; the copies that others hold stay valid."
            raise StoreError(f"no ledger can be read here: no table {table}", hint=hint)
        if not forms[table].lower().startswith("create table"):
            yield _altered(f"{table} is a view or something else, not the table that it must be")
    for name, text in _things(connection, "trigger").items():
        guard = _GUARD.fullmatch(" ".join(text.split()).lower())
        if name not in GUARDS or guard is None or not _guards(guard, name):
            yield _altered(f"there is a trigger {name}, which is not the ledger's")
    for table, columns in _ONCE.items():
        query = f"select 1 from {table} group by {columns} having count(*) > 1"  # noqa: S608 - ours
        for _ in connection.execute(query):
            yield _altered(f"{table}: two rows of the same {columns}")
    for (told,) in connection.execute("pragma integrity_check"):
        if told != "ok":
            yield _altered(readable(told))


def _guards(guard: re.Match[str], name: str) -> bool:
    """Whether it guards what it is named after: links where rows come in, else everything."""
    table, verb, link = guard.groups()
    return f"{table}_{verb}" == name and (link is not None) == (verb == "insert")


def missing_guards(connection: sqlite3.Connection) -> list[str]:
    """The guards that are not there: that alone changes no statement."""
    there = _things(connection, "trigger")
    return [name for name in GUARDS if name not in there]


def _things(connection: sqlite3.Connection, *types: str) -> dict[str, str]:
    query = "select name, coalesce(sql, ''), type from sqlite_master order by name"
    rows = connection.execute(query)
    return {readable(name): readable(text) for name, text, kind in rows if kind in types}


def _altered(detail: str) -> Problem:
    return Problem("", None, "altered", detail)
