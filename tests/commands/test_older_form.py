"""Commands on a ledger of the form before this one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.commands.conftest import Run
from tests.store.sqlite.form1 import write_form1

PLAYS = "record plays --game g1 --team ash --player a1 --count 2 --by pc --half"


def form_of(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("pragma user_version").fetchone()[0])


def test_it_is_read_as_it_is_and_upgraded_to_write(run: Run, tmp_path: Path) -> None:
    path = write_form1(tmp_path / "old.weighbook")
    for command in (["findings"], ["status"], ["list", "g1", "ash"], ["audit"], ["changes"]):
        shown = run("--store", path, *command)
        assert shown.status in (0, 1, 2), shown
        assert "Upgraded" not in shown.err
    assert form_of(path) == 1
    recorded = run("--store", path, *PLAYS.split(), 1)
    assert recorded.status == 0
    assert recorded.err.startswith("Upgraded the ledger to form 2.\n")
    assert "Upgraded" not in run("--store", path, *PLAYS.split(), 2).err
    audited = run("--store", path, "audit")
    assert (audited.status, form_of(path)) == (0, 2)


def test_a_changed_file_is_refused_before_it_is_written(run: Run, tmp_path: Path) -> None:
    path = write_form1(tmp_path / "old.weighbook")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("create table notes (text)")
    refused = run("--store", path, *PLAYS.split(), 1)
    assert refused.status == 3
    assert "the file has the table notes, which is not part of a ledger" in refused.err
    assert "weighbook audit" in refused.err
    audited = run("--store", path, "audit")
    assert (audited.status, form_of(path)) == (1, 1)
    assert "altered: the table notes does not belong in a ledger" in audited.out
