"""The form for a morning without the device."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import BlankPaper
from ledger.say import procedure
from tests.papers.pdf_checks import check_pdf
from tests.papers.pdf_structure import kids, kind, walk
from tests.papers.samples import (
    EMOJI,
    HEAD,
    HOSTILE,
    NO_FONT,
    OTHER_SCRIPTS,
    RIGHT_TO_LEFT,
    STAMP,
    blank_paper,
    pages,
    squeeze,
)

NAMES = tuple(f"Player Invented{number:02d}" for number in range(26))
MM = 72 / 25.4


def printed(paper: BlankPaper, to: Path) -> list[str]:
    render_sheet(Sheet("blank_list", {"paper": paper}, STAMP), to)
    check_pdf(to)
    return pages(to)


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> Path:
    to = tmp_path_factory.mktemp("papers") / "blank.pdf"
    printed(blank_paper(NAMES), to)
    return to


def test_a_usual_team_is_one_sheet_of_two_sides(usual: Path) -> None:
    texts = pages(usual)
    assert len(texts) == 2
    whole = squeeze("".join(texts))
    for number, name in enumerate(NAMES):
        assert f"{number}{squeeze(name)}" in squeeze(texts[0])
    for said in (
        "Weigh-in by hand: Hill Foxes",
        "g1 · Sat, Sep 5, 2026, 9:00 AM CDT · Hill Foxes at Brook Otters",
        "Weighed by Brook Otters · Scale set to 105 lb",
        "Both sides’ initials on this side of the sheet Brook Otters Hill Foxes",
        "Level and zeroed, then the 10 lb check weight: it passes from 9.5 to 10.5 lb.",
        "Then set to 105 lb and left alone.",
        "Check weight readsLimit set to",
        "Never write a weight down.",
        "Weigh-in opens at 8:30 AM CDT. The visitors weigh first. A player is weighed once",
        "plays in the second half. Mark “late” as well as ok or over.",
        "Common practice, in short. Your league’s own rules come first.",
        "they disqualify nobody",
        "Nobody is kept from water.",
        "No.Nameokovertapedlateabsentinjuredgearother Book Initials Time",
        "Not on the roster",
        "scan it only for the league’s record, then delete the picture.",
        "Weigh-in closedFirst half endedSecond half endedScale out of use since",
        "For, and what it meansSignaturePrinted nameDate and time",
        "Children’s names.",
        "Ledger at office:57",
    ):
        assert squeeze(said) in whole
    assert "Do not photograph" not in whole
    assert "Never write a weight down." not in texts[0]


def test_the_rows_of_the_first_side_are_tall_and_begin_below_the_clip(usual: Path) -> None:
    """A clip takes 25 mm; a cold hand needs 8.5 mm."""
    document = pypdfium2.PdfDocument(usual)
    page, tops = document[0].get_textpage(), []
    for name in NAMES:
        found = page.search(name).get_next()
        assert found is not None
        tops.append(page.get_charbox(found[0])[3])
    height = document[0].get_height()
    document.close()
    assert tops[0] < height - 25 * MM
    assert min(a - b for a, b in pairwise(tops)) >= 8.5 * MM


def test_every_row_has_a_cell_for_each_mark(usual: Path) -> None:
    with pikepdf.open(usual) as pdf:
        rows = [
            [kind(cell) for cell in kids(row)]
            for row in walk(pdf.Root.StructTreeRoot)
            if kind(row) == "TR"
        ]
    assert rows.count(["TD", "TH", *["TD"] * 11]) == len(NAMES)
    assert rows.count(["TD"] * 13) == 4


@pytest.mark.parametrize(
    ("first", "attempts", "late", "said"),
    [
        (
            "home",
            2,
            "whole_game",
            ["The home team weighs first. A player may be weighed twice", "from then on"],
        ),
        (
            "either",
            1,
            "none",
            ["Either team may weigh first. A player is weighed once", "does not play"],
        ),
    ],
)
def test_the_leagues_own_rules_are_the_ones_told(
    first: str, attempts: int, late: str, said: list[str], tmp_path: Path
) -> None:
    rules = {"first_to_weigh": first, "attempts": attempts, "late_players": late}
    league = {"weigh_in": rules}
    paper = replace(
        blank_paper(NAMES[:3]),
        first_to_weigh=procedure.short(procedure.first_to_weigh(league)),
        attempts=procedure.attempts(league),
        late_players=procedure.short(procedure.late_players(league)),
    )
    whole = squeeze("".join(printed(paper, tmp_path / "blank.pdf")))
    for text in said:
        assert squeeze(text) in whole


def test_forty_players_of_every_kind(tmp_path: Path) -> None:
    kinds = (*HOSTILE, *RIGHT_TO_LEFT, *OTHER_SCRIPTS, EMOJI, NO_FONT)
    names = tuple(kinds[number % len(kinds)] for number in range(40))
    texts = printed(replace(blank_paper(names), team="T" * 60), tmp_path / "blank.pdf")
    whole = squeeze("".join(texts))
    for name in HOSTILE:
        shown = "".join(letter for letter in name if letter not in "\u202e\u202c")
        assert whole.count(squeeze(shown)) >= names.count(name)
    for number, text in enumerate(texts, start=1):
        assert f"Page {number} of {len(texts)}" in text


def test_an_empty_roster_is_still_a_form(tmp_path: Path) -> None:
    texts = printed(blank_paper(()), tmp_path / "blank.pdf")
    assert "The players" in "".join(texts)
    with pikepdf.open(tmp_path / "blank.pdf") as pdf:
        rows = [len(kids(row)) for row in walk(pdf.Root.StructTreeRoot) if kind(row) == "TR"]
    assert rows.count(13) >= 22  # room for a whole team


def test_a_game_that_is_off_says_so_first(tmp_path: Path) -> None:
    off = blank_paper((), head=replace(HEAD, is_off=True))
    text = printed(off, tmp_path / "blank.pdf")[0]
    assert text.index("THIS GAME IS OFF.") < text.index("The players")


def test_a_form_for_a_game_that_is_off_does_not_deny_the_roster() -> None:
    """oak-3b's said that the ledger had nobody on the roster; 19 of the team were weighed there."""
    paper = replace(blank_paper(()), head=replace(HEAD, is_off=True, off="Invented called it off."))
    html = compose("blank_list", {"paper": paper}, stamp=STAMP)
    assert "nobody on this roster" not in html
    assert "A form for a game that is off has no names." in html
