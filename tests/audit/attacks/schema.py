"""What the file is made of: each table, index and trigger changed in turn, spare ones, its marks.

`tests.audit.attacks.declared` has the changes of a table's declaration.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from ledger.audit.forms import FORMS, NEWEST, Element
from ledger.audit.rows import TABLES
from tests.audit.attacks import declared
from tests.audit.attacks.attack import AUDIT, Attack, Hand

ELEMENTS = FORMS[NEWEST]
GUARDS = tuple(one.name for one in ELEMENTS if one.type == "trigger")
INDEXES = [one for one in ELEMENTS if one.type == "index" and one.sql]
SPARE = {
    "a table": "create table notes (text)",
    "a view": "create view names as select text from disclosure",
    "a trigger": "create trigger also after insert on event begin "
    "insert into disclosure values (new.chain, -new.seq, 'kept', new.body); end",
    "an index": "create index event_prev on event (prev)",
}


def attacks() -> Iterator[Attack]:
    yield Attack("the guards against changes taken away, nothing else", "no guards", AUDIT,
                 lambda hand: None, keeps_guards=False)  # fmt: skip
    for guard in GUARDS:
        yield Attack("a guard that no longer guards", f"{guard} asleep", AUDIT,
                     partial(_asleep, guard), keeps_guards=False)  # fmt: skip
    for table in TABLES:
        yield Attack("a trigger that swallows what is written", f"{table} swallows", AUDIT,
                     partial(_swallow, table))  # fmt: skip
        yield Attack("a table missing", f"no table {table}", AUDIT, partial(_drop, table),
                     keeps_guards=False)  # fmt: skip
        yield Attack("a view instead of a table", f"{table} is a view", AUDIT,
                     partial(_view, table), keeps_guards=False)  # fmt: skip
    yield Attack("a ledger emptied", "every row deleted", AUDIT, _empty)
    for index in INDEXES:
        yield Attack("an index that leaves out every other event", f"{index.name} lies", AUDIT,
                     partial(_lie, index.name))  # fmt: skip
        for how, sql in _other_indexes(index):
            yield Attack("an index dropped, of other rows, columns or rules", f"{index.name} {how}",
                         AUDIT, partial(_instead, index, sql))  # fmt: skip
    for guard in GUARDS:
        for how, sql in _other_guards(guard):
            yield Attack("a guard dropped, emptied, or of another table", f"{guard} {how}", AUDIT,
                         partial(_guard_instead, guard, sql), keeps_guards=False)  # fmt: skip
    for what, sql in SPARE.items():
        yield Attack("a table, view, trigger or index that a ledger does not have",
                     f"{what} more", AUDIT, partial(Hand.run, sql=sql))  # fmt: skip
    for mark in ("application_id = 0", "user_version = 0", "user_version = 1", "user_version = 9"):
        yield Attack("the file marked as of another program or form", mark, AUDIT,
                     partial(Hand.run, sql=f"pragma {mark}"))  # fmt: skip
    yield from declared.attacks()


def _asleep(guard: str, hand: Hand) -> None:
    table, verb = guard.split("_")
    asleep = f"create trigger {guard} before {verb} on {table} when 0 "
    _guard_instead(guard, asleep + "begin select raise(abort, 'no'); end", hand)


def _other_guards(guard: str) -> Iterator[tuple[str, str]]:
    table, verb = guard.split("_")
    yield "dropped", ""
    yield "emptied", f"create trigger {guard} before {verb} on {table} begin select 1; end"
    yield (
        "of another table",
        f"create trigger {guard} before {verb} on exhibit begin select raise(abort, 'no'); end",
    )
    yield "after", f"create trigger {guard} after {verb} on {table} begin select 1; end"


def _guard_instead(guard: str, sql: str, hand: Hand) -> None:
    """All guards as they were, but this one; an empty text leaves it out."""
    for one in ELEMENTS:
        if one.type == "trigger" and (text := sql if one.name == guard else one.sql):
            hand.run(text)


def _swallow(table: str, hand: Hand) -> None:
    hand.run(f"create trigger quiet before insert on {table} begin select raise(ignore); end")


def _drop(table: str, hand: Hand) -> None:
    hand.run(f"drop table {table}")


def _view(table: str, hand: Hand) -> None:
    hand.run(f"alter table {table} rename to {table}_kept")
    hand.run(f"create view {table} as select rowid, * from {table}_kept")


def _empty(hand: Hand) -> None:
    for table in TABLES:
        hand.run(f"delete from {table}")


def _other_indexes(index: Element) -> Iterator[tuple[str, str]]:
    sql = str(index.sql)
    yield "dropped", ""
    yield "partial in another way", sql + " and seq > 3"
    yield "of all rows", sql.partition(" WHERE ")[0]
    yield "of other columns", re.sub(r"\((\w+)", r"(recorded, \1", sql, count=1)
    yield "of another collation", re.sub(r"\((\w+)", r"(\1 collate nocase", sql, count=1)
    if "UNIQUE" in sql:
        yield "not unique", sql.replace("UNIQUE ", "")


def _instead(index: Element, sql: str, hand: Hand) -> None:
    hand.run(f"drop index {index.name}")
    if sql:
        hand.run(sql)


def _lie(index: str, hand: Hand) -> None:
    """Rebuild the index over half of the rows, but have the schema claim all of them."""
    ((sql,),) = hand.run("select sql from sqlite_master where name = ?", index)
    hand.run(f"drop index {index}")
    joined = "and" if " where " in sql.lower() else "where"
    hand.run(f"{sql} {joined} position % 2 = 0")
    hand.run("pragma writable_schema = on")
    hand.run("update sqlite_master set sql = ? where name = ?", sql, index)
    hand.connection.deserialize(hand.connection.serialize())
