"""What the audit finds if someone edits the ledger's file by hand, past every guard."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.audit.audit import audit_file
from ledger.audit.file import check_schema
from ledger.audit.report import AuditReport
from ledger.audit.rows import RawEvent
from ledger.chain.hashing import leaf_hash
from ledger.chain.merkle import root
from ledger.errors import StoreError
from ledger.store.opening import open_store
from tests.tiny import day, load, says, write_folder

LINES = [
    says("close", game="g1", team="ash", ref="x", note="dark"),
    says("weigh", game="g1", team="elm", number=1, value="ok"),
    says("case_open", case="c1", reason="other"),
    says("withdraw", target="x", reason="not yet"),
]
LENGTH = 24
COLUMNS = RawEvent._fields[1:]


@pytest.fixture(scope="module")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tiny ledger of one chain without guards: no trigger, no key, no constraint.

    The attacks test that the audit finds this; the tests here ignore it.
    """
    folder = write_folder(tmp_path_factory.mktemp("audit") / "season", day=day(*LINES))
    path = folder.with_name("whole.weighbook")
    load(path, folder)
    connection = sqlite3.connect(path)
    connection.executescript(
        "pragma journal_mode = delete; create table copy as select * from event;"
        "drop table event; alter table copy rename to event;"
    )
    connection.close()
    return path


@contextmanager
def edited(ledger: Path) -> Iterator[sqlite3.Connection]:
    """Open a copy of the ledger at `changed_path`."""
    connection = sqlite3.connect(shutil.copy(ledger, changed_path(ledger)))
    try:
        yield connection
        connection.commit()
    finally:
        connection.close()


def changed_path(ledger: Path) -> Path:
    return ledger.with_name("changed.weighbook")


def audit(path: Path) -> AuditReport:
    """Audit, and leave out what it finds about the loosened tables."""
    report = audit_file(path)
    with closing(sqlite3.connect(path)) as connection:
        loosened = check_schema(connection)
    first = report.steps[0]
    first.problems = [problem for problem in first.problems if problem not in loosened]
    return report


def found_after(ledger: Path, *statements: str) -> list[tuple[int | None, str]]:
    """Run these statements on a copy; return its problems as (seq, code)."""
    with edited(ledger) as connection:
        for statement in statements:
            connection.execute(statement)
    report = audit(changed_path(ledger))
    assert report.ok == (not report.problems)
    return [(problem.seq, problem.problem) for problem in report.problems]


def test_a_whole_ledger(ledger: Path) -> None:
    report = audit(ledger)
    assert (report.ok, report.events, report.stored) == (True, LENGTH, LENGTH)
    connection = sqlite3.connect(ledger)
    hashes = [row[0] for row in connection.execute("select hash from event order by seq")]
    connection.close()
    (chain,) = report.chains
    assert (chain.chain, chain.length) == ("office", LENGTH)
    assert (chain.head, chain.root) == (hashes[-1].hex(), root(hashes).hex())
    assert report.sentence.startswith("Nothing in this ledger contradicts itself")
    assert "Only a copy that someone kept can show" in report.sentence


def test_the_answer_has_its_keys(ledger: Path) -> None:
    answer = audit(ledger).as_json()
    assert list(answer) == ["ok", "events", "chains", "problems"]
    assert list(answer["chains"][0]) == ["chain", "length", "head", "root"]
    with edited(ledger) as connection:
        connection.execute("update event set player = 'a2' where seq = 22")
    answer = audit(changed_path(ledger)).as_json()
    assert answer["ok"] is False
    assert answer["problems"] == [
        {
            "chain": "office",
            "seq": 22,
            "problem": "altered",
            "detail": "the column player does not match its bytes",
        }
    ]


@settings(max_examples=150, deadline=None)
@given(st.data(), st.integers(1, LENGTH), st.integers(1, 255))
def test_any_one_byte_changed_in_any_event_is_found_by_its_number(
    ledger: Path, data: st.DataObject, seq: int, difference: int
) -> None:
    with edited(ledger) as connection:
        select = "select cast(body as blob) from event where seq = ?"
        body = bytearray(connection.execute(select, (seq,)).fetchone()[0])
        body[data.draw(st.integers(0, len(body) - 1), label="place")] ^= difference
        update = "update event set body = cast(? as text) where seq = ?"
        connection.execute(update, (bytes(body), seq))
    report = audit(changed_path(ledger))
    assert {problem.seq for problem in report.problems} == {seq}
    assert {problem.problem for problem in report.problems} == {"altered"}
    assert "Do not rely on it" in report.sentence


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("value", ["'z'", "x'00ff'", "7", "null", "cast(x'ff' as text)"])
def test_any_value_in_any_column_is_found(ledger: Path, column: str, value: str) -> None:
    seq = {"ref": 21, "subject": 24}.get(column, 22)  # an event that has one
    found = found_after(ledger, f"update event set {column} = {value} where seq = {seq}")
    assert found
    # A row without a usable chain or number has no name; the gap is found instead.
    assert seq in {number for number, _ in found} or column in ("chain", "seq")


@pytest.mark.parametrize(
    ("statement", "found"),
    [
        ("delete from event where seq = 22", [(22, "gap")]),
        ("delete from event where seq between 20 and 22", [(20, "gap")]),
        ("delete from event where seq = 1", [(1, "gap")]),
        ("delete from event where seq in (5, 9)", [(5, "gap"), (9, "gap")]),
        ("update event set position = 99 where seq = 22", [(23, "reordered")]),
        ("update event set position = 45 - position where seq in (22, 23)", [(23, "reordered")]),
    ],
)
def test_rows_deleted_or_reordered(
    ledger: Path, statement: str, found: list[tuple[int, str]]
) -> None:
    assert found_after(ledger, statement) == found


def test_a_gap_says_what_is_missing(ledger: Path) -> None:
    with edited(ledger) as connection:
        connection.execute("delete from event where seq in (2, 20, 21, 22)")
    details = [problem.detail for problem in audit(changed_path(ledger)).problems]
    assert details == ["missing: 2", "missing: 20 to 22"]


def test_a_row_that_is_there_twice(ledger: Path) -> None:
    names = ", ".join(COLUMNS)
    copy = f"insert into event select 99, {names} from event where seq = 22"
    assert (22, "fork") in found_after(ledger, copy)


def test_two_bodies_exchanged(ledger: Path) -> None:
    found = found_after(
        ledger,
        "create table kept as select seq, body from event",
        "update event set body = (select body from kept where seq = 43 - event.seq) "
        "where seq in (21, 22)",
    )
    assert {seq for seq, _ in found} == {21, 22}


def test_an_event_rewritten_with_its_hash_is_found_by_the_next_link(ledger: Path) -> None:
    with edited(ledger) as connection:
        body = connection.execute("select body from event where seq = 22").fetchone()[0]
        rewritten = body.replace('"value":"ok"', '"value":"over"')
        assert rewritten != body
        update = "update event set body = ?, hash = ? where seq = 22"
        connection.execute(update, (rewritten, leaf_hash(rewritten.encode())))
    report = audit(changed_path(ledger))
    assert [(problem.seq, problem.problem) for problem in report.problems] == [(22, "altered")]
    assert "names another hash" in report.problems[0].detail


def test_an_event_put_in_is_found(ledger: Path) -> None:
    """Its link back is right, but the event after it does not name it."""
    with edited(ledger) as connection:
        connection.execute("update event set seq = seq + 1, position = position + 1 where seq > 21")
        names = ", ".join(RawEvent._fields)
        row = connection.execute(f"select {names} from event where seq = 21").fetchone()
        new = RawEvent(*row)._replace(position=22, seq=22, prev=row[4])
        marks = ", ".join("?" * len(new))
        connection.execute(f"insert into event values ({marks})", new)
    assert {problem.seq for problem in audit(changed_path(ledger)).problems} >= {22, 23, 24, 25}


def test_every_problem_is_listed(ledger: Path) -> None:
    found = found_after(
        ledger,
        "update event set body = body || ' ' where seq in (3, 9)",
        "update event set team = 'oak' where seq = 22",
        "delete from event where seq = 15",
    )
    assert {seq for seq, _ in found} == {3, 9, 15, 22}


def test_each_chain_is_checked_alone(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "season", day=day(*LINES))
    path = tmp_path / "two.weighbook"
    load(path, folder)
    days = {"01.csv": day(*LINES), "02.csv": day(*LINES[:2])}
    load(path, write_folder(folder, days=days), chain="tent")
    report = audit(path)
    assert (report.ok, report.events) == (True, LENGTH + 3)
    assert [(chain.chain, chain.length) for chain in report.chains] == [
        ("office", LENGTH),
        ("tent", 3),
    ]


def test_a_body_nested_without_end_is_no_event(ledger: Path) -> None:
    deep = "[" * 5000 + "]" * 5000
    with edited(ledger) as connection:
        connection.execute("update event set body = ? where seq = 22", (f'{{"a":{deep}}}',))
        nested = '{"a":' + "[" * 1020 + "]" * 1020 + "}"
        connection.execute("update event set body = ? where seq = 9", (nested,))
    assert {problem.seq for problem in audit(changed_path(ledger)).problems} == {9, 22}


def test_the_audit_writes_nothing(ledger: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(ledger, tmp_path / "alone.weighbook"))
    before = path.read_bytes()
    assert audit(path).ok
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["alone.weighbook"]


def test_it_reads_while_another_program_writes(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "season", day=day(*LINES))
    path = tmp_path / "live.weighbook"
    load(path, folder)
    store = open_store(path)
    with store.writing() as writing:
        writing.keep_key("k", b"half written")
        assert audit(path).events == LENGTH
    store.close()


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.unlink(),
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(b"no ledger at all\n" * 1000),
        lambda path: path.write_bytes(path.read_bytes()[:6000]),
        lambda path: sqlite3.connect(path).execute("alter table event drop column ref"),
    ],
    ids=["missing", "empty", "text", "cut", "other table"],
)
def test_what_cannot_be_read_is_a_store_error(
    ledger: Path, tmp_path: Path, spoil: Callable[[Path], object]
) -> None:
    path = Path(shutil.copy(ledger, tmp_path / "spoilt.weighbook"))
    kept = spoil(path)
    with pytest.raises(StoreError) as caught:
        audit(path)
    assert caught.value.exit_status == 3
    assert caught.value.hint
    del kept


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_any_damage_to_the_file_is_a_verdict_or_a_store_error(
    ledger: Path, data: st.DataObject
) -> None:
    content = bytearray(ledger.read_bytes())
    for _ in range(data.draw(st.integers(1, 5))):
        content[data.draw(st.integers(100, len(content) - 1))] = data.draw(st.integers(0, 255))
    path = changed_path(ledger)
    path.write_bytes(bytes(content))
    try:
        report = audit(path)
    except StoreError:
        return
    assert report.events <= report.stored
