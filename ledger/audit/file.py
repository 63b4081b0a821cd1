"""Step 1, the file itself: what it is made of, and whether its indexes match its rows.

Tables, indexes and triggers must equal the frozen text of the file's form, byte for byte. A
constraint or trigger could swallow or change what is written; a spare table could hide something.
Answers find their events by index. An index that leaves out a row hides that event, although every
row and hash is right. SQLite's own check compares indexes with rows.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator
from functools import partial

from ledger.audit.damage import is_damage
from ledger.audit.forms import APPLICATION_ID, FORMS, NEWEST, Element
from ledger.audit.report import Problem
from ledger.audit.rows import RESTORE, TABLES, RawEvent, readable
from ledger.errors import StoreError, count_of

_ONCE = {"disclosure": "chain, seq, field", "key": "name", "exhibit": "sha256"}
"""Columns that no two rows may share. If someone rebuilt a table without its constraints, two
readers could see different rows."""
_COLUMNS = {
    "event": frozenset(RawEvent._fields) - {"clock"},
    "disclosure": frozenset({"chain", "seq", "field", "text"}),
    "checkpoint": frozenset({"position", "chain", "size", "note"}),
    "key": frozenset({"name", "sealed"}),
    "exhibit": frozenset({"sha256", "name", "content"}),
}
_SHOWN = 5


def check_schema(connection: sqlite3.Connection) -> list[Problem]:
    """(1) Check the file's marks, and every element against its form.

    Raises StoreError for a newer form, or if a table or column that the audit needs is missing.
    """
    found = _marks(connection)
    form = int(connection.execute("pragma user_version").fetchone()[0])
    there = Counter(_elements(connection))
    wanted = Counter(map(_as_bytes, FORMS.get(form, FORMS[NEWEST])))
    extra, missing = there - wanted, wanted - there
    names = {(kind, name) for kind, name, _, _ in wanted}
    lacking = {(kind, name) for kind, name, _, _ in missing}
    for kind, name, _, _ in sorted(extra, key=repr):
        if (kind, name) not in names:
            what = f"the {readable(kind)} {readable(name)} does not belong in a ledger"
            found.append(_altered(what))
        elif (kind, name) not in lacking:
            found.append(_altered(f"the {kind} {name} is declared twice"))
    for kind, name, _, _ in sorted(missing, key=repr):
        if any((kind, name) == one[:2] for one in extra):
            what = f"the {kind} {name} is not declared as in a ledger of form {form}"
            found.append(_altered(what))
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
        raise StoreError(f"cannot read a ledger of form {form}", hint=hint)
    if form not in FORMS:
        what = f"the file is marked as a ledger of form {form}, which does not exist"
        found.append(_altered(what))
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
            raise StoreError(f"cannot read this ledger: it has no table {table}", hint=RESTORE)
        for column in sorted(_COLUMNS[table] - columns):
            what = f"cannot read this ledger: the table {table} has no column {column}"
            raise StoreError(what, hint=RESTORE)


def check_rows(connection: sqlite3.Connection) -> Iterator[Problem]:
    """(1) Check that no row is there twice and no index hides one."""
    for table, columns in _ONCE.items():
        query = f"select 1 from {table} group by {columns} having count(*) > 1"  # noqa: S608 - ours
        for _ in connection.execute(query):
            yield _altered(f"two rows of the table {table} have the same {columns}")
    yield from map(_altered, _disagreeing(connection))


def check_damage(connection: sqlite3.Connection) -> list[Problem]:
    """Return the first few lines of SQLite's own words about the damage."""
    found = []
    try:
        for line in _disagreeing(connection):
            found.append(line)
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
    rest = len(found) - _SHOWN
    more = [f"{count_of(rest, 'more line')} like these"] * (rest > 0)
    return [Problem.of_file("unreadable", line) for line in found[:_SHOWN] + more]


def _disagreeing(connection: sqlite3.Connection) -> Iterator[str]:
    for (line,) in connection.execute("pragma main.integrity_check"):
        if line != "ok":
            yield readable(line)


_altered = partial(Problem.of_file, "altered")
