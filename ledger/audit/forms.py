"""The forms that a ledger's file has had, as the audit knows them: by `user_version`.

A copy of the audit's own, held by a test against what the writer makes files from. The audit
compares a file with this text byte for byte, whatever the writer has become.
"""

from __future__ import annotations

import sqlite3
from typing import NamedTuple

APPLICATION_ID = 0x77656967
"""Marks the file as a ledger in SQLite's header (the letters "weig")."""


class Element(NamedTuple):
    """A row of sqlite_master; `sql` is None for the index that a constraint makes."""

    type: str
    name: str
    table: str
    sql: str | None


def _table(name: str, *lines: str) -> Element:
    """A table from its columns and constraints, a line for each."""
    quoted = '"key"' if name == "key" else name
    body = ", \n".join(f"\t{line}" for line in lines)
    return Element("table", name, name, f"CREATE TABLE {quoted} (\n{body}\n)")


def _index(name: str, columns: str, where: str, kind: str = "INDEX") -> Element:
    sql = f"CREATE {kind} {name} ON event ({columns}) WHERE {where}"
    return Element("index", name, "event", sql)


def _guard(table: str, act: str) -> Element:
    """A trigger that keeps every row of the table as it is."""
    name, refusal = f"{table}_{act}", f"'the ledger keeps every {table}: no {act}'"
    when = f"before {act} on {table} begin select raise(abort, {refusal}); end"
    return Element("trigger", name, table, f"CREATE TRIGGER {name} {when}")


def _event(*clock: str) -> Element:
    return _table(
        "event",
        "position INTEGER NOT NULL",
        "chain VARCHAR NOT NULL",
        "seq INTEGER NOT NULL",
        "prev BLOB NOT NULL",
        "hash BLOB NOT NULL",
        "body TEXT NOT NULL",
        "kind VARCHAR NOT NULL",
        "recorded VARCHAR NOT NULL",
        *clock,
        "entered VARCHAR",
        "game VARCHAR",
        "team VARCHAR",
        "player VARCHAR",
        "subject VARCHAR",
        "ref VARCHAR",
        "PRIMARY KEY (position)",
        "UNIQUE (chain, seq)",
    )


_REST = (
    _table(
        "checkpoint",
        "position INTEGER NOT NULL",
        "chain VARCHAR NOT NULL",
        "size INTEGER NOT NULL",
        "note TEXT NOT NULL",
        "PRIMARY KEY (position)",
    ),
    _table(
        "disclosure",
        "chain VARCHAR NOT NULL",
        "seq INTEGER NOT NULL",
        "field VARCHAR NOT NULL",
        "text VARCHAR NOT NULL",
        "PRIMARY KEY (chain, seq, field)",
    ),
    _table(
        "exhibit",
        "sha256 VARCHAR NOT NULL",
        "name VARCHAR NOT NULL",
        "content BLOB NOT NULL",
        "PRIMARY KEY (sha256)",
    ),
    _table("key", "name VARCHAR NOT NULL", "sealed BLOB NOT NULL", "PRIMARY KEY (name)"),
    _index("event_entered", "entered", "game IS NULL"),
    _index("event_game", "game, entered", "game IS NOT NULL"),
    _index(
        "event_kind",
        "kind, subject",
        "kind not in ('weigh', 'late_weigh', 'initial', 'list', 'strike_off', 'stripe', 'plays')",
    ),
    _index("event_player", "player, kind", "player IS NOT NULL"),
    _index("event_ref", "chain, ref", "ref IS NOT NULL", "UNIQUE INDEX"),
    _index("event_team", "team, kind", "game IS NULL"),
    *(
        Element("index", f"sqlite_autoindex_{table}_1", table, None)
        for table in ("disclosure", "event", "exhibit", "key")
    ),
    _guard("checkpoint", "delete"),
    _guard("checkpoint", "update"),
    _guard("event", "delete"),
    Element(
        "trigger",
        "event_insert",
        "event",
        "CREATE TRIGGER event_insert before insert on event when new.prev is not "
        "iif(new.seq = 1, zeroblob(32), (select hash from event where chain = "
        "new.chain and seq = new.seq - 1)) begin select raise(abort, 'the ledger is a "
        "chain: an event names the one before it'); end",
    ),
    _guard("event", "update"),
)

FORMS = {1: (_event(), *_REST), 2: (_event("clock VARCHAR NOT NULL"), *_REST)}
NEWEST = max(FORMS)


def read_as_newest(connection: sqlite3.Connection) -> None:
    """Read a file of form 1 as one of the newest form, without writing to it.

    A view of this connection covers the table. A table of its own has the events whose clock was
    ahead of them. Do nothing if the file's table has a clock, or if there is no such table.
    """
    columns = {row[1] for row in connection.execute("pragma main.table_info(event)")}
    here = connection.execute("select 1 from temp.sqlite_master where name = 'event'").fetchone()
    if here or not columns or "clock" in columns:
        return
    for statement in _AS_2:
        connection.execute(statement)


_RUNNING = "max(recorded) over (partition by chain order by seq)"
_AS_2 = (
    "create temp table behind (chain, seq, clock)",
    "create index temp.behind_of on behind (chain, seq)",
    f"""
    insert into temp.behind select chain, seq, clock
    from (select chain, seq, recorded, {_RUNNING} as clock from main.event)
    where recorded < clock
    """,  # noqa: S608 - ours
    """
    create temp view event as
    select event.*, coalesce((
        select clock from temp.behind where behind.chain = event.chain and behind.seq = event.seq
    ), recorded) as clock
    from main.event as event
    """,
)
