"""The Monday page on paper: whose it is, and the way to a reviewer before the findings."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.mondays import monday_sheet
from ledger.say.monday import ASK, Page
from ledger.say.monday_items import Block, Group, Item
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import pages, printed_sheet, squeeze


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
    for week, association in (("2", None), ("5", None), ("6", "quillowick")):
        sheet = monday_sheet(Heads(signed), association, week=week)
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
    assert "Monday page, week 3 (Sep 19, 2026), glimmerfen" in text
    lines = text.replace("\r", "").split("\n")
    assert ASK in lines  # unbroken, for who types it
    said = " ".join(lines)
    assert said.index("What to settle") < said.index("never a child’s name") < said.index(ASK)
    assert text.index(ASK) < text.index("For the weighmasters of capybaras")
    assert any(line.endswith("Rules version 1") for line in lines)
    said = "10:54 AM CDT: The second half ended. Written down 55 minutes after it happened."
    assert squeeze(said) in squeeze(text)


def rendered(sheet: Sheet, page: Page, to: Path) -> list[str]:
    """The pages of this sheet with other words on it."""
    paper = replace(sheet.context["paper"], page=page)
    render_sheet(replace(sheet, context=sheet.context | {"paper": paper}), to)
    return pages(to)


def test_a_weigh_in_is_on_one_line(signed: SqliteStore, tmp_path: Path) -> None:
    """Wherever its line would end."""
    sheet = monday_sheet(Heads(signed), week="7")
    page = sheet.context["paper"].page
    rows = tuple((f"g{n}", "A at B", f"{'a ' * 36}{'i' * n} weigh-in", "") for n in range(40))
    text = "\n".join(rendered(sheet, replace(page, well=rows), tmp_path / "monday.pdf"))
    assert text.count("weigh-in") == len(rows)


@pytest.mark.parametrize("of_each", [1, 40], ids=["a block each", "one block"])
def test_a_last_page_has_more_than_a_line(
    signed: SqliteStore, of_each: int, tmp_path: Path
) -> None:
    sheet = monday_sheet(Heads(signed), week="7")
    page = sheet.context["paper"].page
    item = Item(rule="rule", about="newts 1: ", said="Seen.")
    for count in range(10, 60):
        blocks = tuple(
            Block(game="g1", teams="a at b", until="by 7", items=(item,) * min(of_each, count - n))
            for n in range(0, count, of_each)
        )
        groups = (Group(role="registrar", blocks=blocks),)
        found = rendered(sheet, replace(page, settle=groups), tmp_path / "monday.pdf")
        if len(found) > 1:
            assert len(found) == 2
            assert found[0].count("Seen.") > 5
            assert found[1].count("Seen.") > 1
            return
    pytest.fail("no case has a second page")


def placed(path: Path, text: str, page: int = 0) -> tuple[float, float, float]:
    """Bottom and top (points) and type size (pixels) of the first place of a text."""
    document = pypdfium2.PdfDocument(path)
    try:
        words = document[page].get_textpage()
        found = words.search(text).get_next()
        assert found is not None, text
        _, bottom, _, top = words.get_charbox(found[0], loose=True)
        return bottom, top, pypdfium2.raw.FPDFText_GetFontSize(words, found[0])
    finally:
        document.close()


def lowest_above(path: Path, foot: float) -> float:
    """Bottom (points) of the last line above the foot's words on the first page."""
    document = pypdfium2.PdfDocument(path)
    try:
        words = document[0].get_textpage()
        bottoms = [words.get_rect(index)[1] for index in range(words.count_rects())]
        return min(bottom for bottom in bottoms if bottom > foot)
    finally:
        document.close()


def test_what_people_type_is_nine_points_and_nothing_touches_a_rule(
    signed: SqliteStore, tmp_path: Path
) -> None:
    """The foot's rule is right above its words, the masthead's right below its code."""
    path = tmp_path / "monday.pdf"
    printed_sheet(monday_sheet(Heads(signed), week="6"), path)
    for typed in ("weighbook case open", "weighbook why", "not_struck_off"):
        assert placed(path, typed)[2] * 0.75 == pytest.approx(9, abs=0.01)
    foot = placed(path, "Players by number.")[1]
    assert lowest_above(path, foot) - foot > 18
    code, below = placed(path, "To check the ledger")[0], placed(path, "Protests until")[1]
    assert code - below < 40
