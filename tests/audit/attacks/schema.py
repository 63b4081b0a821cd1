"""The database around the rows: guards, triggers, views, missing tables, indexes that lie."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.audit.file import GUARDS
from ledger.audit.rows import TABLES
from tests.audit.attacks.attack import AUDIT, NOBODY, Attack, Hand, opened, whole_file


def attacks() -> Iterator[Attack]:
    yield Attack("the guards against changes taken away, nothing else", "no guards", NOBODY,
                 lambda hand: None, keeps_guards=False)  # fmt: skip
    for guard in GUARDS:
        yield Attack("a guard that no longer guards", f"{guard} asleep", AUDIT,
                     partial(_asleep, guard), keeps_guards=False)  # fmt: skip
    for table in TABLES:
        yield Attack("a trigger that swallows what is written", f"{table} swallows", AUDIT,
                     partial(_swallow, table))  # fmt: skip
        yield Attack("a table missing", f"no table {table}", AUDIT, partial(_drop, table),
                     keeps_guards=False)  # fmt: skip
        yield Attack("a view in the place of a table", f"{table} is a view", AUDIT,
                     partial(_view, table), keeps_guards=False)  # fmt: skip
    for index in _indexes():
        yield Attack("an index that leaves out every other event", f"{index} lies", AUDIT,
                     partial(_lie, index))  # fmt: skip


def _indexes() -> list[str]:
    connection = opened(whole_file())
    query = "select name from sqlite_master where type = 'index' and sql is not null order by name"
    found = [name for (name,) in connection.execute(query)]
    connection.close()
    return found


def _asleep(guard: str, hand: Hand) -> None:
    table, verb = guard.split("_")
    hand.run(f"create trigger {guard} before {verb} on {table} when 0 "
             "begin select raise(abort, 'no'); end")  # fmt: skip


def _swallow(table: str, hand: Hand) -> None:
    hand.run(f"create trigger quiet before insert on {table} begin select raise(ignore); end")


def _drop(table: str, hand: Hand) -> None:
    hand.run(f"drop table {table}")


def _view(table: str, hand: Hand) -> None:
    hand.run(f"alter table {table} rename to {table}_kept")
    hand.run(f"create view {table} as select rowid, * from {table}_kept")


def _lie(index: str, hand: Hand) -> None:
    """Make the index anew over half of the rows, and have the schema say that it has them all."""
    ((sql,),) = hand.run("select sql from sqlite_master where name = ?", index)
    hand.run(f"drop index {index}")
    joined = "and" if " where " in sql.lower() else "where"
    hand.run(f"{sql} {joined} position % 2 = 0")
    hand.run("pragma writable_schema = on")
    hand.run("update sqlite_master set sql = ? where name = ?", sql, index)
    hand.connection.deserialize(hand.connection.serialize())
