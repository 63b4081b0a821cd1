"""Steps from each form of a ledger's file to the next, and how an older form is read as it is.

A step is one function by the form that it begins with. All steps that a file needs are one
transaction: a crash in between leaves the form before. What comes out is held against the frozen
text, so that an upgraded file and a new one are the same. Rejected: Alembic, whose batch mode
copies a table without its triggers.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from functools import partial

from ledger.errors import StoreError
from ledger.store.sqlite.errors import is_busy
from ledger.store.sqlite.forms import FORMS, NEWEST, Element
from ledger.store.waiting import patiently

_SEE = "Nothing was written. Run weighbook audit: it names everything that was changed."
_COLUMNS_1 = (
    "position, chain, seq, prev, hash, body, kind, recorded, "
    "entered, game, team, player, subject, ref"
)
_RUNNING = "max(recorded) over (partition by chain order by seq)"


def make_fit(connection: sqlite3.Connection, tell: Callable[[str], object]) -> None:
    """Make the file fit to be written: of the newest form, and with nothing in it but a ledger's.

    Upgrades an older form, and says so in one line to `tell`. StoreError for a file whose tables,
    indexes or triggers are not a ledger's: what is written there might not be kept.
    """
    if _form_of(connection) < NEWEST:
        if _upgrade(connection):
            tell(f"Upgraded the ledger to form {NEWEST}.")
    else:
        refuse_altered(connection, NEWEST)
    for one in ("view if exists temp.event", "table if exists temp.behind"):
        connection.execute(f"drop {one}")  # another program may have taken the step


def refuse_altered(connection: sqlite3.Connection, form: int) -> None:
    """StoreError, naming one element, unless the file is made of what this form declares."""
    query = "select type, name, tbl_name, sql from main.sqlite_master"
    found = sorted((Element(*row) for row in connection.execute(query)), key=repr)
    declared = sorted(FORMS[form], key=repr)
    if found == declared:
        return
    names, there = ({(one.type, one.name) for one in some} for some in (declared, found))
    for one in found:
        if (one.type, one.name) not in names:
            raise StoreError(f"the file has {one}, which is not part of a ledger", hint=_SEE)
    for one in declared:
        if (one.type, one.name) not in there:
            raise StoreError(f"{one} is missing from the ledger's file", hint=_SEE)
    other = next((one for one in found if one not in declared), found[0])
    raise StoreError(f"{other} is not what a ledger of form {form} declares", hint=_SEE)


def read_older(connection: sqlite3.Connection) -> None:
    """Let a file of an older form be read as the newest is, without writing to it.

    A view of this connection stands before the table. Only the events whose clock was ahead of
    them lie in a table beside it, so that every look-up still goes by the file's own indexes.
    Rejected: the running maximum in the view itself, which reads the whole ledger each time.
    """
    if _form_of(connection) == 1:
        connection.execute("pragma temp_store = memory")
        for statement in _AS_2:
            connection.execute(statement)


_AS_2 = (
    "create temp table behind (chain, seq, clock, primary key (chain, seq)) without rowid",
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


def _upgrade(connection: sqlite3.Connection) -> bool:
    """Take every step that is missing; whether there was any, or another program took them."""
    patiently(partial(connection.execute, "begin immediate"), is_busy)
    try:
        first = form = _form_of(connection)
        refuse_altered(connection, form)
        while form < NEWEST:
            _STEPS[form](connection)
            form += 1
        refuse_altered(connection, form)
        connection.execute(f"pragma user_version = {form}")
        connection.execute("commit")
    finally:
        if connection.in_transaction:
            connection.execute("rollback")
    return form > first


def _from_1_to_2(connection: sqlite3.Connection) -> None:
    """Add the column `clock`: the latest `recorded` of the chain so far."""
    connection.execute("drop view if exists temp.event")
    connection.execute("drop table if exists temp.behind")
    for one in FORMS[1]:
        if one.table == "event" and one.type != "table" and one.sql:
            connection.execute(f"drop {one.type} {one.name}")
    connection.execute("alter table event rename to event_1")
    of_event = [one for one in FORMS[2] if one.table == "event" and one.sql]
    connection.execute(str(of_event[0].sql))
    connection.execute(
        f"insert into event ({_COLUMNS_1}, clock) "  # noqa: S608 - our own column names
        f"select {_COLUMNS_1}, {_RUNNING} from event_1 order by position"
    )
    connection.execute("drop table event_1")
    for one in of_event[1:]:
        connection.execute(str(one.sql))


_STEPS: dict[int, Callable[[sqlite3.Connection], None]] = {1: _from_1_to_2}


def _form_of(connection: sqlite3.Connection) -> int:
    return int(connection.execute("pragma user_version").fetchone()[0])
