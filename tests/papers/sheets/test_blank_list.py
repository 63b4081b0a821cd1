"""The form for a morning without the device."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import BlankPaper, RosterLine, blank_sheet
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
from tests.review.cases_of import season
from tests.tiny import TEXTS

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
        "Weighed by Brook Otters · Set the scale to 105 lb",
        "Both teams initial this page Hill Foxes Brook Otters",
        "Level it and zero it. Put on the 10 lb check weight: it must read 9.5 to 10.5 lb.",
        "If not: level, zero, check again (second line). Still out: do not use it.",
        "If it passes: set it to 105 lb, then leave it alone.",
        "To begin: each team marks its own absent and injured, with initials. Then swap",
        "Players hand you the helmet, which is not weighed, and wear all other game gear.",
        "mark the book and put the same initials in the Book column.",
        "A child may say no; do not press. Mark “other”. Anyone may drink at any time.",
        "Check weight readsLimit set to",
        "Never write a player’s weight. ok or over is enough. Do not call it out.",
        "Weigh-in opens at 8:30 AM CDT. Visiting players are weighed first.",
        "A player is weighed once",
        "Weighed after the weigh-in closed, before the first half ends: plays in the second half.",
        "Weighed after that: does not play. Mark “late” as well as ok or over. Not",
        "Marked absent or gear, then weighed: strike that off, with initials and the time.",
        "Scale fails: players still come, and play. Write NO SCALE across their ok and over boxes.",
        "The book’s first mark says who may carry; over: tape.",
        "No mark: ask the site official; do not decide here.",
        "Every line has a mark? Then close. Both sides sign.",
        "Weighmasters of Brook Otters keep this sheet.",
        "Common practice, in short. Your league’s own rules come first.",
        "they disqualify nobody",
        "Anyone may drink at any time.",
        "For the office:to check the ledger",
        "Weigh them anyway. Questions about a roster go to the association president, then",
        "Notes (number, what; nothing about body or health)",
        "No.Nameokovertapedlateabsentinjuredgearother Book Initials Time",
        "Not on the roster",
        "scan it only for the league’s record, then delete the picture.",
        "Weigh-in closedFirst half endedSecond half endedScale out of use since, and why",
        "For, and what it meansSignaturePrinted nameDate and time",
        "Children’s names.",
        "Ledger at office:57",
    ):
        assert squeeze(said) in whole
    assert "Do not photograph" not in whole
    assert "Never write" not in texts[0]
    assert [text.count("Weigh-in by hand: Hill Foxes, g1, Sat, Sep 5") for text in texts] == [1, 2]
    assert texts[1].startswith("First, the scale")


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


def test_twenty_six_players_with_long_names_and_a_number_twice_are_two_sides(
    tmp_path: Path,
) -> None:
    long = tuple(f"Léonie de la Brume-Légère {number}" for number in range(26))
    paper = blank_paper(long)
    twice = (*paper.roster[:25], RosterLine(number=7, name="Pat Example"))
    paper = replace(paper, roster=twice, attempts=procedure.attempts({"weigh_in": {"attempts": 2}}))
    texts = printed(paper, tmp_path / "blank.pdf")
    assert len(texts) == 2
    assert "Two players have number 7. Ask the name." in texts[0]
    assert "Both teams initial" in texts[0]
    assert all(line.is_wrapped for line in twice[:25])
    assert not RosterLine(number=1, name="Player Invented").is_wrapped


def test_who_is_asked_is_the_leagues_choice(tmp_path: Path) -> None:
    reviews = '\n[reviews]\nroster = ["registrar"]\nother = ["head_official"]\n'
    with season(tmp_path, league=TEXTS["league"] + reviews) as store:
        sheet = blank_sheet(Heads(store), "ash", "g1")
    paper = sheet.context["paper"]
    assert (paper.ask, paper.day) == ("the head official", "Sat, Sep 5")
    assert paper.roster_reviewers == "Questions about a roster go to the registrar."
    assert (paper.number_twice, paper.limit_since) == ((), "")
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    assert "No mark: ask the head official; do not decide here." in html


def test_the_initials_are_8_mm_high_on_a_side_with_room(usual: Path) -> None:
    document = pypdfium2.PdfDocument(usual)
    page = document[0]
    text = page.get_textpage()
    label = text.search("Both teams initial").get_next()
    assert label is not None
    top = text.get_charbox(label[0])[3] + 0.6 * MM
    rules = [one.get_bounds()[1] for one in page.get_objects() if one.type == 2]
    document.close()
    assert min(top - rule for rule in rules if top - rule > 3 * MM) >= 7.5 * MM


def test_every_row_has_a_cell_for_each_mark(usual: Path) -> None:
    with pikepdf.open(usual) as pdf:
        rows = [
            [kind(cell) for cell in kids(row)]
            for row in walk(pdf.Root.StructTreeRoot)
            if kind(row) == "TR"
        ]
    assert rows.count(["TD", "TH", *["TD"] * 11]) == len(NAMES)
    assert rows.count(["TD"] * 13) == 4


def under(paper: BlankPaper, **weigh_in: object) -> BlankPaper:
    """The form as a league with these rules of the weigh-in prints it."""
    league = {"weigh_in": {"declared_over_may_skip_scale": False, **weigh_in}}
    return replace(
        paper,
        first_to_weigh=procedure.short(procedure.first_to_weigh(league)),
        attempts=procedure.attempts(league),
        late_players=procedure.late_by_hand(league),
        not_weighed=procedure.not_weighed_by_hand(league),
        declines=procedure.declines_by_hand(league),
    )


@pytest.mark.parametrize(
    ("first", "attempts", "late", "said"),
    [
        (
            "home",
            2,
            "whole_game",
            [
                "Home players are weighed first. A player may be weighed twice",
                "plays from then on. Weighed after that: does not play.",
            ],
        ),
        (
            "either",
            1,
            "none",
            [
                "Either team may be weighed first. A player is weighed once",
                "Weighed after the weigh-in closed: does not play.",
            ],
        ),
    ],
)
def test_the_leagues_own_rules_are_the_ones_told(
    first: str, attempts: int, late: str, said: list[str], tmp_path: Path
) -> None:
    paper = under(
        blank_paper(NAMES[:3]), first_to_weigh=first, attempts=attempts, late_players=late
    )
    whole = squeeze("".join(printed(paper, tmp_path / "blank.pdf")))
    for text in said:
        assert squeeze(text) in whole


def test_the_longest_rules_still_leave_two_sides(tmp_path: Path) -> None:
    paper = under(
        blank_paper(NAMES[:20]),
        attempts=2,
        declared_over_may_skip_scale=True,
        first_to_weigh="visitors",
        late_players="second_half",
    )
    texts = printed(paper, tmp_path / "blank.pdf")
    assert len(texts) == 2
    for said in (
        "Not weighed: does not play, except one who may skip the scale.",
        "Mark “over” if the child wants that, else “other”.",
    ):
        assert squeeze(said) in squeeze(texts[1])


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
