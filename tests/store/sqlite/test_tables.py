"""The tables as SQLModel declares them, against the file and the SQL of the hot paths."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path

import pytest
from sqlmodel import SQLModel

from ledger.audit.rows import RawEvent
from ledger.store.sqlite import tables
from ledger.store.sqlite.store import NOT_PER_CHILD
from ledger.store.store import Disclosure, Row, StoredCheckpoint
from tests.tiny import tiny_store

Folder = Callable[..., Path]
TABLES = SQLModel.metadata.tables


def columns(table: str) -> list[str]:
    return [column.name for column in TABLES[table].columns]


def test_the_writer_and_the_audit_name_the_declared_columns() -> None:
    assert columns("event") == ["position", *Row._fields] == list(RawEvent._fields)
    assert columns("disclosure") == [field.name for field in fields(Disclosure)]
    assert columns("checkpoint") == ["position", *(f.name for f in fields(StoredCheckpoint))]
    assert columns("key") == ["name", "sealed"]
    assert columns("exhibit") == ["sha256", "name", "content"]


def test_the_file_has_the_declared_tables(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        names = store.connection.execute("select name from sqlite_master where type = 'table'")
        assert {name for (name,) in names} == set(TABLES)
        for table, declared in TABLES.items():
            found = store.connection.execute(f"pragma table_info({table})").fetchall()
            assert [name for _, name, *_ in found] == columns(table)
            nullable = [name for _, name, _, not_null, _, _ in found if not not_null]
            assert nullable == [column.name for column in declared.columns if column.nullable]


def test_only_what_a_statement_may_lack_may_be_null() -> None:
    nullable = {column.name for column in TABLES["event"].columns if column.nullable}
    assert nullable == {"entered", "game", "team", "player", "subject", "ref"}


def test_the_file_is_marked_durable_and_has_its_guards(folder: Folder) -> None:
    with tiny_store(folder()) as store:

        def one(query: str) -> object:
            return store.connection.execute(query).fetchone()[0]

        assert bytes.fromhex(f"{one('pragma application_id'):x}") == b"weig"
        assert one("pragma user_version") == 2
        assert one("pragma journal_mode") == "wal"
        assert one("pragma synchronous") == 2  # FULL
        assert one("pragma secure_delete") == 1
        guards = store.connection.execute("select name from sqlite_master where type = 'trigger'")
        assert {name for (name,) in guards} == {
            "event_insert",
            *(f"{table}_{verb}" for table in tables.KEPT for verb in ("update", "delete")),
        }


@pytest.mark.parametrize(
    "where",
    [
        "chain = 'x' order by seq desc",
        "chain = 'x' and seq = 7",
        "game = 'x'",
        "game = 'x' and kind = 'weigh'",
        "game = 'x' and entered < 'y' order by entered desc",
        "game is null and team = 'x' and kind = 'player'",
        "game is null and entered < 'y' order by entered desc",
        "player = 'x'",
        "player = 'x' and kind = 'weigh'",
        f"kind = 'game' and {NOT_PER_CHILD}",
        f"kind = 'ruling' and subject = 'x' and {NOT_PER_CHILD}",
    ],
)
def test_what_events_are_looked_up_by_has_an_index(folder: Folder, where: str) -> None:
    with tiny_store(folder()) as store:
        query = f"explain query plan select body from event where {where}"
        plan = store.connection.execute(query).fetchall()
    assert [step[3].partition(" USING INDEX ")[0] for step in plan] == ["SEARCH event"], plan
