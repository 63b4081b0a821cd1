"""The tally sheet: a team of 26 on one side, with what a counter must know about each player."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from ledger.errors import InputError
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.play_counts import PlayCountLine, PlayCountPaper, play_count_sheet
from tests.papers.bad_copy import copied, drawn, lost, sharp
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import HEAD, HOSTILE, STAMP, pages, squeeze
from tests.review.cases_of import season
from tests.tiny import says

MM = 72 / 25.4
ASH = {"game": "g1", "team": "ash"}
WEIGHED = says("weigh", **ASH, player="a1", value="over")
A2 = ASH | {"player": "a2"}
HALF = says("half", at="2026-09-05T10:40", game="g1", half=1, by="ho")
NAMES = (*(f"Player Invented{number:02d}" for number in range(25)), "Nia")
PAPER = PlayCountPaper(
    head=HEAD,
    team="Hill Foxes",
    minimum="Every player who may play is due at least 10 plays, late players too, unless excused.",
    lines=tuple(
        PlayCountLine(
            number=number,
            name=name,
            note="second half only" if number == 7 else "",
            closed=(1,) if number == 7 else (),
        )
        for number, name in enumerate(NAMES)
    ),
)


def test_a_team_of_26_is_one_side(tmp_path: Path) -> None:
    render_sheet(Sheet("play_count", {"paper": PAPER}, STAMP), tmp_path / "plays.pdf")
    check_pdf(tmp_path / "plays.pdf")
    (text,) = map(squeeze, pages(tmp_path / "plays.pdf"))
    for number, name in enumerate(NAMES):
        assert f"{number}{squeeze(name)}" in text
    for said in (
        "Play count: Hill Foxes",
        "g1 · Sat, Sep 5, 2026, 9:00 AM CDT · Hill Foxes at Brook Otters",
        PAPER.minimum,
        "7Player Invented07second half only",
        "No.NameFirst halfTotalSecond halfTotalOvertimeGame total",
        "One counter from each side, each on a separate sheet: print two.",
        "From play 11 on, make each an X; from 21 on, stroke under “Total”.",
        "Boxes with a line through: not to play that half. Count any plays there too.",
        "Excused from the minimum: write hurt, discipline or left in the player’s row.",
        "Counted by (printed name, side)First half ended atSecond half ended at",
        "Team’s plays, 1stTeam’s plays, 2ndTeam’s plays, overtime",
        "scan it only for the league’s record",
    ):
        assert squeeze(said) in text


def test_a_long_word_of_a_name_is_not_cut(tmp_path: Path) -> None:
    """It is set in smaller letters; other names are not."""
    long = "Maximiliana-Theodosia Wolkenfänger-Unterdemregenbogen"
    lines = (PlayCountLine(number=58, name=long), PlayCountLine(number=7, name="Nia Kettlefern"))
    assert [line.is_long for line in lines] == [True, False]
    wrapped = PlayCountLine(number=14, name="Fiadh Nic Sméarcailín")
    assert (wrapped.is_wrapped, wrapped.is_long, lines[1].is_wrapped) == (True, False, False)
    sheet = Sheet("play_count", {"paper": replace(PAPER, lines=lines)}, STAMP)
    render_sheet(sheet, tmp_path / "plays.pdf")
    (text,) = pages(tmp_path / "plays.pdf")
    assert "Unterdemregenbogen" in text


def test_each_half_has_its_boxes_in_fives() -> None:
    html = compose("play_count", {"paper": replace(PAPER, lines=PAPER.lines[:1])}, stamp=STAMP)
    row = next(row for row in html.split("<tr>") if NAMES[0] in row)
    assert row.count('<span class="box') == 2 * 10
    assert row.count('<span class="box sixth">') == 2


@pytest.mark.parametrize(
    ("lines", "note"),
    [
        ([says("weigh", **A2, value="ok")], ""),
        ([], "not weighed yet"),
        ([HALF], "does not play"),
        ([says("list", **A2, reason="injured")], "does not play"),
        ([says("late_weigh", **A2, value="ok")], "second half only"),
        (
            [says("weigh", **A2, value="ok"), says("excuse", **A2, reason="left")],
            "no minimum (excused)",
        ),
        (
            [says("late_weigh", **A2, value="ok"), says("excuse", **A2, reason="left")],
            "second half only; no minimum (excused)",
        ),
    ],
)
def test_what_a_counter_must_know(
    lines: list[Mapping[str, str]], note: str, tmp_path: Path
) -> None:
    with season(tmp_path, WEIGHED, *lines) as store:
        paper = play_count_sheet(Heads(store), "ash", "g1").context["paper"]
    assert [(line.number, line.note) for line in paper.lines] == [(1, ""), (2, note)]


def halves(html: str, name: str) -> list[bool]:
    """Whether the boxes of each half in a player's row have a line through."""
    row = next(row for row in html.split("<tr>") if name in row)
    return ["closed" in cell.split(">")[0] for cell in row.split('<td class="plays')[1:]]


def test_a_half_in_which_a_player_is_not_to_play_is_lined_out(tmp_path: Path) -> None:
    """A counter in a hurry sees it, on a bad copy too; the boxes are still there."""
    with season(tmp_path, WEIGHED, says("late_weigh", **A2, value="ok")) as store:
        sheet = play_count_sheet(Heads(store), "ash", "g1")
    assert [line.closed for line in sheet.context["paper"].lines] == [(), (1,)]
    html = compose("play_count", sheet.context, stamp=STAMP)
    assert halves(html, "Ottla Bramblewick") == [True, False]
    render_sheet(sheet, tmp_path / "plays.pdf")
    picture = drawn(tmp_path / "plays.pdf")
    assert lost(sharp(picture), copied(picture)) == []


def test_two_players_with_one_number_are_told_apart_by_name(tmp_path: Path) -> None:
    """Before the weigh-in too."""
    twin = says("number_change", at="2026-09-04T08:00", team="ash", player="a2", number=1, by="rg")
    for lines, other in (([], ""), ([WEIGHED], "; not weighed yet")):
        with season(tmp_path / str(len(lines)), *lines, twin) as store:
            paper = play_count_sheet(Heads(store), "ash", "g1").context["paper"]
        notes = ["two No. 1: go by name", f"two No. 1: go by name{other}"]
        assert [line.note for line in paper.lines] == notes


def test_rows_for_more_players_where_there_is_room() -> None:
    spare = [replace(PAPER, lines=PAPER.lines[:many]).spare_rows for many in (26, 24, 12)]
    assert spare == [1, 3, 6]


def test_names_in_two_lines_and_notes_leave_room_for_the_end_of_the_sheet(tmp_path: Path) -> None:
    notes = dict.fromkeys(range(3, 9), "does not play")
    notes |= dict.fromkeys((3, 4), "two No. 9: go by name; does not play")
    lines = tuple(
        PlayCountLine(
            number=number,
            name="Invented Wickerby-Toadstool" if number < 3 else "Player Invented",
            note=notes.get(number, ""),
            closed=(1, 2) if number in notes else (),
        )
        for number in range(26)
    )
    sheet = Sheet("play_count", {"paper": replace(PAPER, lines=lines)}, STAMP)
    render_sheet(sheet, tmp_path / "plays.pdf")
    assert len(pages(tmp_path / "plays.pdf")) == 1


def test_the_head_overtime_keeps_clear_of_the_line_beside_it(tmp_path: Path) -> None:
    """1 mm, and the second table's heads stand on a line each."""
    render_sheet(Sheet("play_count", {"paper": PAPER}, STAMP), tmp_path / "plays.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "plays.pdf")
    page = document[0].get_textpage()
    found = page.search("Overtime", match_case=True).get_next()
    assert found is not None
    end = page.get_charbox(found[0] + found[1] - 1)[2]
    found = page.search("Game", match_case=True).get_next()
    assert found is not None
    begins = page.get_charbox(found[0])[0]
    document.close()
    assert begins - end >= 2 * MM
    lines = pages(tmp_path / "plays.pdf")[0].splitlines()
    assert any("Counted by" in line and "overtime" in line for line in lines)


def test_before_the_weigh_in_it_says_nothing_about_anybody(tmp_path: Path) -> None:
    """It is for the next game, unless another is asked for."""
    with season(tmp_path, WEIGHED) as store:
        sheet = play_count_sheet(Heads(store), "ash")
    paper = sheet.context["paper"]
    assert paper.head.game == "g2"
    assert [line.note for line in paper.lines] == ["", ""]
    assert (
        paper.minimum
        == "Every player who may play is due at least 10 plays, late players too, unless excused."
    )


def test_a_team_of_another_game(tmp_path: Path) -> None:
    with season(tmp_path) as store, pytest.raises(InputError, match="no team oak"):
        play_count_sheet(Heads(store), "oak")
    with season(tmp_path) as store, pytest.raises(InputError, match="oak does not play in g1"):
        play_count_sheet(Heads(store), "oak", "g1")


def test_without_a_roster_there_is_room_for_a_team() -> None:
    empty = replace(PAPER, lines=(), head=replace(HEAD, is_off=True))
    html = compose("play_count", {"paper": empty}, stamp=STAMP)
    assert html.count('<td class="plays firm">') == 2 * empty.spare_rows >= 44
    assert "THIS GAME IS OFF." in html


def test_a_name_is_text_and_nothing_else() -> None:
    lines = tuple(PlayCountLine(number=5, name=name) for name in HOSTILE)
    html = compose("play_count", {"paper": replace(PAPER, lines=lines)}, stamp=STAMP)
    assert "<script>" not in html
