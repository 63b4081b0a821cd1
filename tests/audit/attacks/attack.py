"""An attack: what someone with the file, a database shell and time does, and who notices.

The attacker drops the guards, changes what they like, and puts the guards back. On a loose file,
unique constraints and types are gone too. The attacker has all that is in the file, the chains'
private keys included, but no official's key unless the attack says so.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from ledger.audit.audit import audit
from ledger.audit.file import check_schema
from ledger.audit.links import explain
from ledger.audit.quick import join_runs, prove_rows
from ledger.audit.report import Problem
from ledger.audit.rows import TABLES, RawEvent, count_events, look_at_any_text
from ledger.chain.hashing import BEGINNING
from ledger.errors import StoreError
from tests.audit.attacks.victim import Victim, victim

AUDIT, COPY, NOBODY = "audit", "kept copy", "nobody"
"""Who notices: the audit of the file alone; only a comparison with a kept copy; nobody."""
FINDING, STATE, NOTE, SAME = "finding", "state", "note", "same"
"""Who notices what changes no byte: a finding; the signature's state; a note of the audit; nobody,
because the list is still what was signed."""


class Hand:
    """The attacker's hand on an open copy of the file."""

    def __init__(self, connection: sqlite3.Connection, victim: Victim) -> None:
        self.connection = connection
        self.victim = victim

    def run(self, sql: str, *values: Any) -> list[Any]:
        return self.connection.execute(sql, values).fetchall()

    def rows(self, chain: str) -> list[RawEvent]:
        """The chain's rows, by seq."""
        columns = ", ".join(RawEvent._fields)
        found = self.run(f"select {columns} from event where chain = ? order by seq", chain)
        return [RawEvent(*row) for row in found]

    def add(self, row: RawEvent) -> None:
        """Put one more row into the event table."""
        marks = ", ".join("?" * len(row))
        self.run(f"insert into event ({', '.join(RawEvent._fields)}) values ({marks})", *row)

    def close_ranks(self) -> None:
        """Number the order of acceptance without a gap again."""
        for table in ("event", "checkpoint"):
            places = [row[0] for row in self.run(f"select position from {table} order by 1")]
            for position, before in enumerate(places, 1):
                self.run(f"update {table} set position = ? where position = ?", position, before)


def _nothing(hand: Hand) -> None:
    """Do nothing: the attack uses another ledger."""


@dataclass(frozen=True)
class Attack:
    """One attack: the table's row that counts it, a name of its own, and who should notice.

    `act` changes the victim's file, or `outcome` carries out the whole attack.
    """

    row: str
    name: str
    noticed_by: str
    act: Callable[[Hand], object] = _nothing
    is_loose: bool = False
    keeps_guards: bool = True
    file: Callable[[], bytes] | None = None
    """Another file than the usual one, whose beginning that is."""
    outcome: Callable[[], Outcome] | None = None


class Outcome(NamedTuple):
    """Who noticed, with which problem codes, and whether events behind a kept copy changed.

    `schema` are the problems of tables, indexes and triggers. On a loose file they come from the
    loosening, so only other problems count as noticed.
    """

    noticed_by: str
    classes: frozenset[str]
    reached_behind_a_copy: bool
    schema: tuple[Problem, ...] = ()


def carry_out(attack: Attack) -> Outcome:
    """Attack a fresh copy and audit it, alone and beside the kept copies."""
    if attack.outcome:
        return attack.outcome()
    file = attack.file or (loose_file if attack.is_loose else whole_file)
    hand = Hand(opened(file()), victim())
    guards = hand.run("select name, sql from sqlite_master where type = 'trigger'")
    for name, _ in guards:
        hand.run(f"drop trigger {name}")
    attack.act(hand)
    if attack.keeps_guards:
        for _, sql in guards:
            hand.run(sql)
    try:
        return _look(hand, is_loose=attack.is_loose)
    except (StoreError, sqlite3.Error):
        # Over a file, audit_file turns the driver's error into a StoreError.
        return Outcome(AUDIT, frozenset({"unreadable"}), True)
    finally:
        hand.connection.close()


def _look(hand: Hand, *, is_loose: bool) -> Outcome:
    schema = tuple(check_schema(hand.connection))
    passed_over = schema if is_loose else ()
    found = [one for one in audit(hand.connection).problems if one not in passed_over]
    _hold_quick_against_close(hand.connection)
    reached = any(_was_rewritten(hand, chain) for chain in ("office", "tent"))
    if found:
        return Outcome(AUDIT, _classes(found), reached, schema)
    hand.connection.text_factory = str
    kept = audit(hand.connection, since=hand.victim.kept).problems
    found = [one for one in kept if one not in passed_over]
    return Outcome(COPY if found else NOBODY, _classes(found), reached, schema)


def _hold_quick_against_close(connection: sqlite3.Connection) -> None:
    """If the quick proof of steps 1 and 2 passes, so must the look at every row."""
    connection.text_factory = str
    runs = prove_rows(connection, 1, count_events(connection), id)
    quick = join_runs([runs], BEGINNING) if runs is not None else None
    if quick is None:
        return  # the audit itself has looked at every row
    look_at_any_text(connection)
    read, bytes_wrong, links_wrong = explain(connection, id)
    assert not bytes_wrong + links_wrong
    assert [one[:4] for one in quick] == [one[:4] for one in read]


def _was_rewritten(hand: Hand, chain: str) -> bool:
    """Whether an event that a kept copy covers changed."""
    return _covered(hand.connection, chain) != _covered_before(chain)


@cache
def _covered_before(chain: str) -> list[Any]:
    with closing(opened(whole_file())) as connection:
        return _covered(connection, chain)


def _covered(connection: sqlite3.Connection, chain: str) -> list[Any]:
    covered = "select cast(body as blob) from event where chain = ? and seq <= ? order by seq"
    return connection.execute(covered, (chain, victim().behind(chain))).fetchall()


def _classes(problems: list[Problem]) -> frozenset[str]:
    return frozenset(problem.problem for problem in problems)


def opened(file: bytes) -> sqlite3.Connection:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.deserialize(file)
    return connection


@cache
def whole_file() -> bytes:
    return in_memory(victim().file)


@cache
def loose_file() -> bytes:
    """The file without constraints, indexes and types: any value in any column, any row twice."""
    connection = opened(whole_file())
    guards = connection.execute("select name, sql from sqlite_master where type = 'trigger'")
    triggers = [sql for _, sql in guards]
    for table in TABLES:
        connection.execute(f"create table loose as select * from {table}")
        names = [row[1] for row in connection.execute(f"pragma table_info({table})")]
        connection.execute("drop table loose")
        connection.execute(f"create table loose ({', '.join(names)})")
        connection.execute(f"insert into loose select * from {table} order by rowid")
        connection.execute(f"drop table {table}")
        connection.execute(f"alter table loose rename to {table}")
    for sql in triggers:
        connection.execute(sql)
    return connection.serialize()


def in_memory(file: bytes) -> bytes:
    """Make a database file in WAL mode usable in memory.

    The 19th and 20th byte say which journal (SQLite's file format, section 1.3, from memory).
    """
    return file[:18] + b"\1\1" + file[20:]


def numbered(attacks: Iterator[Attack]) -> list[Attack]:
    """The attacks, each name once."""
    found = list(attacks)
    assert len({attack.name for attack in found}) == len(found)
    return found
