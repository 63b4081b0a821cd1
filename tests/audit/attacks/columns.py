"""Every column of every table, in each row: another value, no value, another type."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from ledger.audit.rows import TABLES
from tests.audit.attacks.attack import AUDIT, NOBODY, Attack, Hand, loose_file, opened

CHANGED, EMPTIED, RETYPED = "changed", "emptied", "stored as another type"


def attacks(kind: str) -> Iterator[Attack]:
    """Those of one kind: CHANGED, EMPTIED or RETYPED."""
    connection = opened(loose_file())
    for table in TABLES:
        columns = [row[1] for row in connection.execute(f"pragma table_info({table})")]
        for rowid, *values in connection.execute(f"select rowid, * from {table}").fetchall():
            row = dict(zip(columns, values, strict=True))
            for column, value in row.items():
                for what, new in _others(value):
                    if what != kind:
                        continue
                    line, noticed_by = _line(table, column, what, row)
                    act = partial(_set, table, rowid, column, new)
                    name = f"{table} {rowid}, {column} {what}"
                    yield Attack(line, name, noticed_by, act, is_loose=True)
    connection.close()


def _others(value: Any) -> Iterator[tuple[str, Any]]:
    if value is None:
        yield CHANGED, "x"
        return
    yield EMPTIED, None
    if isinstance(value, int):
        yield CHANGED, value + 1000
        yield RETYPED, str(value)
    elif isinstance(value, str):
        yield CHANGED, value[:-1] + ("x" if value[-1] != "x" else "y")
        yield RETYPED, value.encode()
    else:
        yield CHANGED, value[:-1] + bytes([value[-1] ^ 1])
        yield RETYPED, value.decode("latin-1")


def _line(table: str, column: str, what: str, row: dict[str, Any]) -> tuple[str, str]:
    """The table's line that counts it, and who notices."""
    if (table, column, what) == ("exhibit", "name", CHANGED):
        return "the file name of an exhibit changed", NOBODY
    if (table, column, what) == ("key", "sealed", CHANGED) and "@" in row["name"]:
        return "an official's sealed key damaged", NOBODY
    return f"a column of `{table}` {what}, any row", AUDIT


def _set(table: str, rowid: int, column: str, value: Any, hand: Hand) -> None:
    hand.run(f"update {table} set {column} = ? where rowid = ?", value, rowid)
