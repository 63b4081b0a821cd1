"""Fifty full audits of the sample season, signed by two officials and then changed by hand."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from ledger.audit.report import AuditReport
from ledger.audit.rows import RawEvent
from ledger.errors import StoreError
from tests.audit.unguarded import unguarded
from tests.signed_season import receipt, season

pytestmark = pytest.mark.usefixtures("remembering")
ROWS = (1, 3_000, 7_350)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("kept") / "receipt.txt"
    path.write_bytes(receipt())
    return path


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    """A copy to spoil."""
    path = tmp_path / "season.weighbook"
    with season(path):
        return path


def changed(path: Path, *statements: str) -> AuditReport:
    with unguarded(path) as connection:
        for statement in statements:
            connection.execute(statement)
    return audit_file(path)


def test_as_it_was_written(ledger: Path, kept: Path) -> None:
    report = audit_file(ledger, since=[kept])
    assert report.ok
    assert report.events == report.stored == 7_352
    assert report.verdict.intact
    assert report.verdict.countersigned
    assert report.verdict.complete
    assert report.verdict.anchored
    assert [step.number for step in report.steps] == [1, 2, 3, 4, 5, 6, 7]
    assert report.sentence.startswith("Up to the kept copies, every statement in this ledger")


@pytest.mark.parametrize("seq", ROWS)
@pytest.mark.parametrize("column", RawEvent._fields)
def test_any_column(ledger: Path, column: str, seq: int) -> None:
    value = "99999" if column in ("position", "seq") else "'2026-01-01T00:00:00.000Z'"
    report = changed(ledger, f"update event set {column} = {value} where seq = {seq}")
    assert not report.ok
    assert not report.verdict.intact
    nearby = range(seq - 1, seq + 2)
    assert any(problem.seq in nearby for problem in report.problems) or column in ("chain", "seq")


@pytest.mark.parametrize(
    ("statement", "problem"),
    [
        ("delete from event where seq = 3000", "gap"),
        ("delete from event where seq > 7000", "cut tail"),
        ("delete from checkpoint where position = 2", "gap"),
        ("update checkpoint set note = (select note from checkpoint limit 1)", "altered"),
        ("update disclosure set text = (select text from disclosure limit 1)",
         "disclosure differs"),
        ("delete from disclosure where seq < 100", "disclosure differs"),
        ("update exhibit set content = x'00'", "exhibit differs"),
        ("update key set sealed = x'00' where name not like '%@%'", "unknown key"),
    ],
)  # fmt: skip
def test_other_tables(ledger: Path, statement: str, problem: str) -> None:
    report = changed(ledger, statement)
    assert problem in {one.problem for one in report.problems}
    assert "Do not rely on it" in report.sentence


def test_a_cut_back_to_before_the_signatures(ledger: Path, kept: Path) -> None:
    """All that belongs to the cut events is gone too, the signer's key included.

    Only the receipt shows it.
    """
    statements = ("event where seq > 7346", "checkpoint", "key where name like '%@%'")
    report = changed(ledger, *(f"delete from {statement}" for statement in statements))
    assert report.ok
    assert not report.verdict.countersigned
    report = audit_file(ledger, since=[kept])
    assert [(one.seq, one.problem) for one in report.problems] == [
        (7346, "cut tail"),
        (7349, "unknown key"),
    ]
    assert not report.verdict.anchored
    assert "it was cut or rewritten, or that copy is from another ledger" in report.sentence


def test_a_missing_table_is_a_store_error(ledger: Path) -> None:
    connection = sqlite3.connect(ledger)
    connection.execute("drop table disclosure")
    connection.close()
    with pytest.raises(StoreError, match="no table disclosure") as caught:
        audit_file(ledger)
    assert caught.value.hint
