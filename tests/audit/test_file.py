"""What the file is made of, compared with the frozen text of its form."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from ledger.errors import StoreError
from ledger.store.sqlite.file import make_file
from tests.audit.unguarded import unguarded
from tests.store.sqlite.form1 import write_form1

RETYPED = """
    pragma writable_schema = on;
    update sqlite_master set sql = replace(sql, 'body TEXT', 'body BLOB') where name = 'event'
"""
CHANGES = {
    "create table notes (text)": "the table notes does not belong in a ledger",
    "create index spare on event (prev)": "the index spare does not belong in a ledger",
    "drop index event_game": "the index event_game is missing",
    "drop trigger event_delete": "the trigger event_delete is missing",
    RETYPED: "the table event is not declared as in a ledger of form 1",
    "pragma application_id = 7": "the file is not marked as a ledger (application_id is 7)",
}


@pytest.mark.parametrize("change", CHANGES)
def test_each_element_that_is_not_as_declared_is_named(tmp_path: Path, change: str) -> None:
    path = write_form1(tmp_path / "changed.weighbook")
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(change)
    report = audit_file(path)
    assert [(one.where, one.problem, one.detail) for one in report.problems] == [
        ("the file", "altered", CHANGES[change])
    ]
    assert not report.verdict.intact


def test_every_changed_element_is_named(tmp_path: Path) -> None:
    path = write_form1(tmp_path / "changed.weighbook")
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(";".join(CHANGES))
    assert {one.detail for one in audit_file(path).problems} == set(CHANGES.values())


def test_an_emptied_ledger_is_a_problem(tmp_path: Path) -> None:
    path = write_form1(tmp_path / "emptied.weighbook")
    with unguarded(path) as connection:
        for table in ("event", "disclosure", "checkpoint", "key", "exhibit"):
            connection.execute(f"delete from {table}")
    (problem,) = audit_file(path).problems
    assert problem.problem == "gap"
    assert problem.detail == "there are no events: a ledger begins with the key of a chain"


def test_an_unknown_form_is_a_problem_and_a_newer_one_is_refused(
    tmp_path: Path,
) -> None:
    path = tmp_path / "other.weighbook"
    with make_file(path) as store:
        store.connection.execute("pragma user_version = 0")
    details = [one.detail for one in audit_file(path).problems]
    assert "the file is marked as a ledger of form 0, which does not exist" in details
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma user_version = 3")
    with pytest.raises(StoreError, match="cannot read a ledger of form 3") as caught:
        audit_file(path)
    assert "reads up to form 2. Install the newest one." in caught.value.hint
