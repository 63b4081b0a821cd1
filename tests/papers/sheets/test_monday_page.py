"""The Monday page on paper: whose it is, and the way to a reviewer before the findings."""

from __future__ import annotations

from pathlib import Path

from ledger.papers.press.heads import Heads
from ledger.papers.sheets.mondays import monday_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import printed_sheet, squeeze


def test_the_page_of_a_league(signed: SqliteStore, tmp_path: Path) -> None:
    first, *later = printed_sheet(monday_sheet(Heads(signed), week="3"), tmp_path / "monday.pdf")
    assert "After week 3 (Sat, Sep 19, 2026)" in first
    assert later
    for text in later:
        assert text.count("Monday page, after week 3 (Sat, Sep 19, 2026)") == 2  # head and foot


def test_an_associations_page(signed: SqliteStore, tmp_path: Path) -> None:
    """The ways to ask stand above what to settle: below, they came alone on a page."""
    sheet = monday_sheet(Heads(signed), "glimmerfen", week="3")
    (text,) = printed_sheet(sheet, tmp_path / "monday.pdf")
    assert "Association glimmerfen, after week 3 (Sat, Sep 19, 2026)" in text
    assert "Monday page, association glimmerfen, after week 3 (Sat, Sep 19, 2026)" in text
    ask = text.index("name its rule: weighbook case open NAME")
    assert text.index("What to settle") < ask < text.index("For the weighmaster")
    said = "10:54 AM CDT: The second half ended. Written down 55 minutes after it happened."
    assert squeeze(said) in squeeze(text)
