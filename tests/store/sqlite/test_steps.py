"""Forms of a ledger's file: the frozen texts, the step from 1 to 2, reading the older one."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from ledger.audit import forms as audit_forms
from ledger.audit.audit import audit_file
from ledger.errors import StoreError
from ledger.record.accepted import Accepted
from ledger.store.opening import open_store
from ledger.store.sqlite import forms, steps
from ledger.store.sqlite.file import make_file
from ledger.store.sqlite.store import SqliteStore
from ledger.store.sqlite.tables import schema
from tests.store.sqlite.form1 import EVENTS, write_form1

ELEMENTS = "select type, name, tbl_name, sql from sqlite_master order by type, name"
CLOCKS = "select chain, seq, recorded, clock from event order by chain, seq"

IGNORE = """
    pragma writable_schema = on;
    update sqlite_master set sql = replace(sql, 'seq)', 'seq) on conflict ignore')
    where name = 'event'
"""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return write_form1(tmp_path / "old.weighbook")


def elements(path: Path) -> list[object]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(ELEMENTS).fetchall()


def form_of(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("pragma user_version").fetchone()[0])


def state(store: SqliteStore) -> None:
    with store.writing() as writing:
        writing.append(
            [Accepted("stripe", {}, at="2026-09-05T16:00:00.000Z", game="g1")], chain="tent"
        )


def test_the_newest_frozen_text_is_what_is_declared() -> None:
    connection = sqlite3.connect(":memory:")
    for statement in schema():
        connection.execute(statement)
    declared = {forms.Element(*row) for row in connection.execute(ELEMENTS)}
    assert declared == set(forms.FORMS[forms.NEWEST])


def test_the_audits_own_copy_is_the_writers() -> None:
    assert audit_forms.FORMS == forms.FORMS
    assert audit_forms.APPLICATION_ID == forms.APPLICATION_ID


def test_form_1_is_the_one_that_was_written_then(old: Path) -> None:
    assert {forms.Element(*row) for row in elements(old)} == set(forms.FORMS[1])  # type: ignore[misc]


def test_an_upgraded_ledger_has_the_same_elements_as_a_new_one(old: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(old)) as connection:
        kept = connection.execute("select chain, seq, hash, body from event").fetchall()
    told: list[str] = []
    store = open_store(old, tell=told.append)
    state(store)
    state(store)
    after = store.connection.execute("select chain, seq, hash, body from event").fetchall()
    store.close()
    assert told == ["Upgraded the ledger to form 2."]
    assert after[: len(kept)] == kept
    assert len(after) == len(kept) + 2
    with make_file(tmp_path / "new.weighbook"):
        pass
    assert elements(old) == elements(tmp_path / "new.weighbook")
    assert (form_of(old), audit_file(old).problems) == (2, [])


def test_the_clock_of_an_older_form_is_the_running_maximum(old: Path) -> None:
    store = open_store(old)
    read = store.connection.execute(CLOCKS).fetchall()
    by_game = [stored.clock for stored in store.events(game=["g1"])]
    whole = list(store.events())
    state(store)
    stored = store.connection.execute(CLOCKS).fetchall()
    assert [one.clock for one in store.events(game=["g1"])][:-1] == by_game
    assert list(store.events())[:-1] == whole == sorted(whole)
    store.close()
    latest: dict[str, str] = {}
    for chain, _, recorded, clock in read:
        latest[chain] = max(latest.get(chain, ""), recorded)
        assert clock == latest[chain]
    assert any(recorded < clock for _, _, recorded, clock in read)
    assert stored[:-1] == read


def test_reading_and_audit_leave_an_older_form_as_it_is(old: Path) -> None:
    before = old.read_bytes()
    store = open_store(old)
    assert len(list(store.events())) == EVENTS
    assert [stored.id for stored in store.entered_last()]
    plan = store.connection.execute("explain query plan select body from event where game = 'g1'")
    assert "USING INDEX event_game" in str(plan.fetchall())
    store.close()
    report = audit_file(old)
    assert (report.problems, report.events) == ([], EVENTS)
    assert old.read_bytes() == before
    assert form_of(old) == 1


def test_an_older_form_is_read_where_nothing_may_be_written(old: Path) -> None:
    connection = sqlite3.connect(f"{old.as_uri()}?mode=ro&immutable=1", uri=True)
    steps.read_older(connection)
    assert len(connection.execute(CLOCKS).fetchall()) == EVENTS
    connection.close()


def test_stopped_in_the_middle_it_is_of_the_older_form(old: Path) -> None:
    before = elements(old)
    program = (
        "import os, sys; from ledger.store.sqlite import steps; from ledger.store.opening import "
        "open_store\n"
        "class Stops(dict):\n"
        "    def __getitem__(self, form):\n"
        "        return lambda connection: (steps._from_1_to_2(connection), os._exit(9))\n"
        "steps._STEPS = Stops()\n"
        "with open_store(sys.argv[1]).writing(): pass"
    )
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run([sys.executable, "-c", program, str(old)], env=environment, check=False)
    assert done.returncode == 9
    assert (elements(old), form_of(old)) == (before, 1)
    assert audit_file(old).problems == []
    store = open_store(old)
    state(store)
    store.close()
    assert form_of(old) == 2


def test_another_program_that_took_the_step_is_no_matter(old: Path) -> None:
    told: list[str] = []
    one, other = (open_store(old, tell=told.append) for _ in range(2))
    state(one)
    assert len(list(other.events())) == EVENTS + 1
    state(other)
    assert (len(told), len(list(one.events()))) == (1, EVENTS + 2)
    one.close()
    other.close()


@pytest.mark.parametrize(("form", "hint"), [(3, "Install the newest"), (0, "No weighbook makes")])
def test_a_form_that_is_not_known_is_refused(tmp_path: Path, form: int, hint: str) -> None:
    path = tmp_path / "other.weighbook"
    with make_file(path) as store:
        store.connection.execute(f"pragma user_version = {form}")
    with pytest.raises(StoreError) as caught:
        open_store(path)
    assert caught.value.message == f"{path}: a ledger of form {form}"
    assert caught.value.hint.startswith("This is weighbook" if form else hint)
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ("create table notes (text)", "the file has the table notes"),
        ("create view told as select 1", "the file has the view told"),
        ("drop trigger event_update", "the trigger event_update is missing"),
        ("drop index event_kind", "the index event_kind is missing"),
        (
            "create trigger quiet before insert on event begin select raise(ignore); end",
            "the file has the trigger quiet",
        ),
        ("alter table event add column more", "the table event is not what a ledger of form"),
        (IGNORE, "the table event is not what a ledger of form"),
    ],
)
@pytest.mark.parametrize("is_old", [False, True])
def test_a_changed_file_is_refused_before_it_is_written(
    tmp_path: Path, change: str, named: str, is_old: bool
) -> None:
    path = write_form1(tmp_path / "changed.weighbook")
    if not is_old:
        store = open_store(path)
        state(store)
        store.close()
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(change)
    before = elements(path)
    store = open_store(path)
    count = len(list(store.events()))
    with pytest.raises(StoreError) as caught:
        state(store)
    assert caught.value.message.startswith(named)
    assert "weighbook audit" in caught.value.hint
    assert (len(list(store.events())), elements(path)) == (count, before)
    store.close()


@pytest.mark.parametrize(
    "quiet",
    [
        "create trigger quiet before insert on event begin select raise(ignore); end",
        "create trigger quiet after insert on event begin delete from event where seq = 2; end",
    ],
)
def test_what_was_not_kept_is_not_acknowledged(tmp_path: Path, quiet: str) -> None:
    """Put in by another program after this one had looked at the file."""
    path = tmp_path / "new.weighbook"
    with make_file(path) as store:
        with store.writing() as writing:
            writing.append([Accepted("chain_key", {})], chain="tent")
        store.connection.execute("drop trigger event_delete")
        store.connection.execute(quiet)
        with pytest.raises(StoreError) as caught:
            state(store)
        assert caught.value.message == "the ledger's file did not keep what was written"
        assert "Nothing was recorded" in caught.value.hint
        assert store.lengths() == {"tent": 1}
        store.connection.execute("drop trigger quiet")
        state(store)
        assert store.lengths() == {"tent": 2}
