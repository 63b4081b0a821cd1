"""The Monday page on paper: whose it is, and the way to a reviewer before the findings."""

from __future__ import annotations

import re
from pathlib import Path

from ledger.papers.press.heads import Heads
from ledger.papers.sheets.mondays import monday_sheet
from ledger.say.monday import ASK
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import printed_sheet, squeeze


def test_the_page_of_a_league(signed: SqliteStore, tmp_path: Path) -> None:
    first, *later = printed_sheet(monday_sheet(Heads(signed), week="6"), tmp_path / "monday.pdf")
    assert "After week 6 (Sat, Oct 10, 2026)" in first
    assert "For the officials it addresses and their president." in first
    assert later
    for text in later:
        assert text.count("Monday page, week 6 (Oct 10, 2026)") == 2  # head and foot


HEADINGS = ("For the", "What to settle", "Still to do", "Already answered", "To be confirmed")


def test_an_item_on_a_new_page_has_its_role_and_game_above_it(
    signed: SqliteStore, tmp_path: Path
) -> None:
    """A page that begins with a heading needs no other; at least one page of these begins so."""
    repeated = []
    for week in ("2", "5", "6"):
        sheet = monday_sheet(Heads(signed), week=week)
        for text in printed_sheet(sheet, tmp_path / f"{week}.pdf")[1:]:
            heads = re.findall(r"^For the .+ \(continued\)\r?$", text, re.MULTILINE)
            assert len(heads) == (0 if text.startswith(HEADINGS) else 1)
            repeated += heads
    assert 0 < len(repeated) < 3


def test_an_associations_page(signed: SqliteStore, tmp_path: Path) -> None:
    """The way to ask stands above what to settle: below, it came alone on a page."""
    sheet = monday_sheet(Heads(signed), "glimmerfen", week="3")
    text = "\n".join(printed_sheet(sheet, tmp_path / "monday.pdf"))
    assert "After week 3 (Sat, Sep 19, 2026), association glimmerfen" in text
    assert "Monday page, week 3 (Sep 19, 2026), association glimmerfen" in text
    lines = text.replace("\r", "").split("\n")
    assert ASK in lines  # unbroken, for who types it
    ask = text.index(ASK)
    assert text.index("What to settle") < text.index("never a child’s name") < ask
    assert ask < text.index("For the weighmasters of capybaras")
    assert any(line.endswith("Rules version 1") for line in lines)
    said = "10:54 AM CDT: The second half ended. Written down 55 minutes after it happened."
    assert squeeze(said) in squeeze(text)


def test_a_weigh_in_is_on_one_line(signed: SqliteStore, tmp_path: Path) -> None:
    for week in ("4", "5", "6"):
        sheet = monday_sheet(Heads(signed), week=week)
        text = "\n".join(printed_sheet(sheet, tmp_path / f"{week}.pdf"))
        assert "weigh-in" in text
        assert "weigh\ufffe" not in text
