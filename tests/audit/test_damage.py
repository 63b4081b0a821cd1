"""A file with a damaged page: the audit says which events are gone and which still hold."""

from __future__ import annotations

import random
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from ledger.audit.audit import audit_file
from ledger.audit.report import AuditReport
from ledger.chain.note import format_note
from ledger.errors import StoreError
from ledger.store.opening import open_store
from tests.audit.attacks.victim import victim
from tests.store.sqlite.form1 import EVENTS, write_form1

PAGE = 4096
HOLDS = re.compile(r"(\w+):(\d+)(?: to \1:(\d+))?: bytes, hashes and links hold")
GONE = re.compile(r"(\w+):(\d+)(?: to \1:(\d+))? cannot be read: the file is damaged there")


@pytest.fixture(scope="module", params=[1, 2])
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small ledger of that form, with no page that is not in use, and no log."""
    path = write_form1(tmp_path_factory.mktemp("damage") / "whole.weighbook")
    if request.param == 2:
        store = open_store(path)
        with store.writing():
            pass
        store.close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma journal_mode = delete")
        connection.execute("vacuum")
        assert connection.execute("pragma user_version").fetchone() == (request.param,)
    assert audit_file(path).ok
    return path


def events_by_page(path: Path) -> dict[int, set[str]]:
    """Which events lie on each page: their two hashes stand side by side in the row."""
    image = path.read_bytes()
    found: dict[int, set[str]] = {}
    with closing(sqlite3.connect(path)) as connection:
        for chain, seq, prev, own in connection.execute("select chain, seq, prev, hash from event"):
            page = image.index(prev + own) // PAGE
            found.setdefault(page, set()).add(f"{chain}:{seq}")
    return found


def told(pattern: re.Pattern[str], lines: list[str]) -> set[str]:
    ids = set()
    for line in lines:
        if match := pattern.fullmatch(line):
            chain, first, last = match.groups()
            ids |= {f"{chain}:{seq}" for seq in range(int(first), int(last or first) + 1)}
    return ids


def damaged(whole: Path, page: int, content: bytes) -> Path:
    image = whole.read_bytes()
    path = whole.with_name("damaged.weighbook")
    path.write_bytes(image[: page * PAGE] + content + image[(page + 1) * PAGE :])
    return path


def contents(page: int) -> Iterator[bytes]:
    yield bytes(PAGE)
    yield random.Random(page).randbytes(PAGE)


def test_each_page_in_turn(whole: Path) -> None:
    image = whole.read_bytes()
    on_page = events_by_page(whole)
    every = set().union(*on_page.values())
    for page in range(1, len(image) // PAGE):
        for content in contents(page):
            report = audit_file(damaged(whole, page, content))
            lost = on_page.get(page, set())
            assert not report.ok
            assert not report.verdict.intact
            assert told(GONE, [one.detail for one in report.problems]) == lost, page
            assert told(HOLDS, report.notes) == every - lost, page
            # Nothing that can be read is said to be wrong.
            assert {one.problem for one in report.problems} == {"unreadable"}
            assert (report.events, report.stored) == (EVENTS - len(lost), EVENTS)
            assert report.verdict.complete == (not lost)


def test_without_the_page_of_its_tables_no_ledger_can_be_read(whole: Path) -> None:
    for content in contents(0):
        with pytest.raises(StoreError) as caught:
            audit_file(damaged(whole, 0, content))
        assert "Restore it from a copy" in caught.value.hint


def test_what_is_wrong_beside_the_damage_is_still_found(whole: Path) -> None:
    on_page = events_by_page(whole)
    pages = sorted(on_page)
    image = whole.read_bytes()
    changed = whole.with_name("changed.weighbook")
    place = image.index(b'"kind":"league"')
    (altered,) = (one for one in on_page[place // PAGE] if one == "office:2")
    changed.write_bytes(image.replace(b'"kind":"league"', b'"kind":"leagus"'))
    report = audit_file(damaged(changed, pages[-2], bytes(PAGE)))
    wrong = {one.where for one in report.problems if one.problem == "altered"} - {"the file"}
    assert wrong == {altered}
    lost = on_page[pages[-2]]
    assert altered not in told(HOLDS, report.notes)
    assert told(GONE, [one.detail for one in report.problems]) == lost


def test_kept_copies_are_compared_as_far_as_the_ledger_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / "victim.weighbook"
    path.write_bytes(victim().file)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("pragma journal_mode = delete")
        connection.execute("vacuum")
    kept = []
    for number, note in enumerate(victim().kept):
        copy = tmp_path / f"{number}.txt"
        copy.write_bytes(format_note(note.note))
        kept.append(copy)
    on_page = events_by_page(path)
    report = audit_file(damaged(path, max(on_page) - 2, bytes(PAGE)), since=kept)
    step = report.steps[-1]
    assert {one.problem for one in step.problems} == {"unreadable"}
    assert "cannot be compared: events that it covers are gone" in step.problems[0].detail
    assert any("the first" in note for note in step.notes)
    assert len(step.problems) + len(step.notes) == len(kept)
    assert not report.verdict.anchored


def test_a_page_high_up_in_the_tree_loses_no_event(sample_copy: Path) -> None:
    with closing(sqlite3.connect(sample_copy)) as connection:
        connection.execute("pragma journal_mode = delete")
        query = "select rootpage from sqlite_master where name = 'event'"
        (root,) = connection.execute(query).fetchone()
    image = sample_copy.read_bytes()
    size = int.from_bytes(image[16:18])
    start = (root - 1) * size
    assert image[start] == 5  # an inner page of a table
    sample_copy.write_bytes(image[:start] + bytes(size) + image[start + size :])
    report: AuditReport = audit_file(sample_copy)
    assert (report.events, report.stored) == (7_346, 7_346)
    assert "office:1 to office:7346: bytes, hashes and links hold" in report.notes
    assert {one.problem for one in report.problems} == {"unreadable"}
