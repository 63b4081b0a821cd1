"""A table's declaration changed, one thing at a time, with its rows as they were."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from ledger.audit.forms import FORMS, NEWEST, Element
from tests.audit.attacks.attack import AUDIT, Attack, Hand

TABLES = [one for one in FORMS[NEWEST] if one.type == "table"]
_COLUMN = re.compile(r"\t(?!PRIMARY|UNIQUE)(\w+) (\w+)( NOT NULL)?, \n")


def attacks() -> Iterator[Attack]:
    for table in TABLES:
        for line, name, sql in _changes(table):
            yield Attack(line, f"{table.name}: {name}", AUDIT, partial(_rebuild, table, sql))
        yield Attack("a column of a table added", f"{table.name}: a column behind the others",
                     AUDIT, partial(Hand.run, sql=f"alter table {table.name} add column more")
                     )  # fmt: skip
        yield Attack("a table's text changed without its rows",
                     f"{table.name}: its text in other letters", AUDIT,
                     partial(_retell, table))  # fmt: skip


def _changes(table: Element) -> Iterator[tuple[str, str, str]]:
    """The table's line, what is changed, and the statement that makes the table so."""
    sql = str(table.sql)
    for column in _COLUMN.finditer(sql):
        name, kind, not_null = column.groups()
        rest = re.sub(rf"\t(PRIMARY KEY|UNIQUE) \([^)]*\b{name}\b[^)]*\)(, )?\n", "", sql)
        less = re.sub(r", \n\)$", "\n)", rest.replace(column.group(), ""))
        yield "a column of a table dropped", f"{name} dropped", less
        other = "BLOB" if kind != "BLOB" else "TEXT"
        told = column.group().replace(kind, other)
        yield (
            "a column of a table of another type",
            f"{name} {other}",
            sql.replace(column.group(), told),
        )
        for line, word in (
            ("a column of a table with a check", f"CHECK ({name} is not 'x')"),
            ("a column of a table with a default", "DEFAULT 'x'"),
            ("a column of a table with another collation", "COLLATE nocase"),
        ):
            told = column.group().replace(", \n", f" {word}, \n")
            yield line, f"{name} {word}", sql.replace(column.group(), told)
        if not_null:
            told = column.group().replace(not_null, "")
            yield "a column of a table that may be empty", name, sql.replace(column.group(), told)
            told = column.group().replace(not_null, f"{not_null} ON CONFLICT IGNORE")
            yield (
                "a constraint of a table that swallows rows",
                f"{name} ON CONFLICT IGNORE",
                sql.replace(column.group(), told),
            )
    for rule in re.findall(r"(?:PRIMARY KEY|UNIQUE) \([^)]*\)", sql):
        for action in ("IGNORE", "REPLACE"):
            told = sql.replace(rule, f"{rule} ON CONFLICT {action}")
            yield "a constraint of a table that swallows rows", f"{rule} {action}", told
    loose = re.sub(r", \n\tUNIQUE \([^)]*\)", "", sql)
    if loose != sql:
        yield "a constraint of a table dropped", "not unique", loose
    yield "a table of another kind", "without rowid", f"{sql} WITHOUT ROWID"
    yield "a table of another kind", "strict", f"{sql.replace('VARCHAR', 'TEXT')} STRICT"
    yield "a column of a table added", "a column", sql.replace("(\n", "(\n\tmore VARCHAR, \n")


def _rebuild(table: Element, sql: str, hand: Hand) -> None:
    """Rebuild the table from another statement, with its rows and the indexes that fit."""
    old = f"{table.name}_old"
    indexes = [one for one in FORMS[NEWEST] if one.type == "index" and one.table == table.name]
    hand.run(f'alter table "{table.name}" rename to {old}')
    for one in indexes:
        if one.sql:
            hand.run(f"drop index {one.name}")
    hand.run(sql)
    columns = {row[1] for row in hand.run(f"pragma table_info({table.name})")}
    kept = [row[1] for row in hand.run(f"pragma table_info({old})") if row[1] in columns]
    names = ", ".join(kept)
    hand.run(f'insert into "{table.name}" ({names}) select {names} from {old} order by rowid')
    hand.run(f"drop table {old}")
    for one in indexes:
        if one.sql and not columns.isdisjoint(kept) and _fits(one.sql, columns):
            hand.run(one.sql)


def _fits(sql: str, columns: set[str]) -> bool:
    """Whether every column that the index names is there."""
    of_event = set(re.findall(r"\w+", sql)) & {
        column for one in TABLES for column, _, _ in _COLUMN.findall(str(one.sql))
    }
    return of_event <= columns | {"list"}


def _retell(table: Element, hand: Hand) -> None:
    hand.run("pragma writable_schema = on")
    hand.run("update sqlite_master set sql = lower(sql) where name = ?", table.name)
    hand.connection.deserialize(hand.connection.serialize())
