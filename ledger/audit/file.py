"""The ledger's file as such: what it is made of, and that its indexes agree with its rows.

What a file is made of (tables, indexes, triggers) is compared with the frozen text of its form,
byte for byte: a constraint or a trigger may swallow or change what is written, a spare table may
hold what nobody looks at. Answers find their events by index. An index that leaves out a row hides
that event from them, while every row and hash is as it was; SQLite's own check compares both.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator

from ledger.audit.damage import is_damage
from ledger.audit.forms import APPLICATION_ID, FORMS, NEWEST, Element
from ledger.audit.report import Problem
from ledger.audit.rows import TABLES, RawEvent, readable
from ledger.errors import StoreError, count_of

_ONCE = {"disclosure": "chain, seq, field", "key": "name", "exhibit": "sha256"}
"""What no two rows may share. Where a table was made anew without its constraints, one reader
might be shown the one row and another the other."""
_COLUMNS = {
    "event": frozenset(RawEvent._fields) - {"clock"},
    "disclosure": frozenset({"chain", "seq", "field", "text"}),
    "checkpoint": frozenset({"position", "chain", "size", "note"}),
    "key": frozenset({"name", "sealed"}),
    "exhibit": frozenset({"sha256", "name", "content"}),
}
_HINT = "Restore it from a copy; the copies that others hold stay valid."
_SHOWN = 5


def check_schema(connection: sqlite3.Connection) -> list[Problem]:
    """(1) The file's marks, and each element that is not what its form declares.

    StoreError for a newer form, and for a table or column without which nothing can be read.
    """
    found = _marks(connection)
    form = int(connection.execute("pragma user_version").fetchone()[0])
    declared = FORMS.get(form, FORMS[NEWEST])
    there = Counter(_elements(connection))
    wanted = Counter(map(_as_bytes, declared))
    extra, missing = there - wanted, wanted - there
    names = {(kind, name) for kind, name, _, _ in wanted}
    lacking = {(kind, name) for kind, name, _, _ in missing}
    for kind, name, _, _ in sorted(extra, key=repr):
        if (kind, name) not in names:
            article = "an" if kind == "index" else "a"
            what = f"{article} {readable(kind)} {readable(name)} that a ledger does not have"
            found.append(_altered(what))
        elif (kind, name) not in lacking:
            found.append(_altered(f"the {kind} {name} is declared twice"))
    for kind, name, _, _ in sorted(missing, key=repr):
        if any((kind, name) == one[:2] for one in extra):
            what = f"is not declared as a ledger of form {form} declares it"
            found.append(_altered(f"the {kind} {name} {what}"))
        else:
            found.append(_altered(f"the {kind} {name} is missing"))
    _refuse_unreadable(connection)
    return found


def _marks(connection: sqlite3.Connection) -> list[Problem]:
    found = []
    mark = connection.execute("pragma application_id").fetchone()[0]
    form = connection.execute("pragma user_version").fetchone()[0]
    if mark != APPLICATION_ID:
        found.append(_altered(f"the file is not marked as a ledger (application_id is {mark})"))
    if form > NEWEST:
        hint = f"This weighbook reads up to form {NEWEST}. Install the newest one."
        raise StoreError(f"a ledger of form {form} cannot be read here", hint=hint)
    if form not in FORMS:
        found.append(_altered(f"the file is marked as a ledger of form {form}; there is none"))
    return found


def _elements(connection: sqlite3.Connection) -> Iterator[tuple[object, ...]]:
    query = "select type, name, tbl_name, cast(sql as blob) from main.sqlite_master"
    yield from connection.execute(query)


def _as_bytes(element: Element) -> tuple[object, ...]:
    text = element.sql
    return (*element[:3], None if text is None else text.encode())


def _refuse_unreadable(connection: sqlite3.Connection) -> None:
    for table in TABLES:
        columns = {row[1] for row in connection.execute(f"pragma main.table_info({table})")}
        if not columns:
            raise StoreError(f"no ledger can be read here: no table {table}", hint=_HINT)
        for column in sorted(_COLUMNS[table] - columns):
            what = f"no ledger can be read here: the table {table} has no column {column}"
            raise StoreError(what, hint=_HINT)


def check_rows(connection: sqlite3.Connection) -> Iterator[Problem]:
    """(1) No row stands twice, and no index hides one."""
    for table, columns in _ONCE.items():
        query = f"select 1 from {table} group by {columns} having count(*) > 1"  # noqa: S608 - ours
        for _ in connection.execute(query):
            yield _altered(f"{table}: two rows of the same {columns}")
    yield from map(_altered, _disagreeing(connection))


def check_damage(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Where a file is damaged, in SQLite's words: the first few lines."""
    told = []
    try:
        for line in _disagreeing(connection):
            told.append(line)
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
    rest = len(told) - _SHOWN
    more = [f"{count_of(rest, 'more line')} of the kind"] if rest > 0 else []
    for line in told[:_SHOWN] + more:
        yield Problem("", None, "unreadable", line)


def _disagreeing(connection: sqlite3.Connection) -> Iterator[str]:
    for (told,) in connection.execute("pragma main.integrity_check"):
        if told != "ok":
            yield readable(told)


def _altered(detail: str) -> Problem:
    return Problem("", None, "altered", detail)
