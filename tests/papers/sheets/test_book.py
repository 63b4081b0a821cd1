"""The book of first-game marks, and its empty form."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import pikepdf
import pytest

from ledger.errors import InputError
from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.books import BookLine, BookPaper, blank_book_sheet, book_sheet
from ledger.say.marks import OWN_SIDE
from ledger.store.sqlite.store import SqliteStore
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
    pages,
    printed_sheet,
    squeeze,
)
from tests.review.cases_of import adds, opens, season
from tests.tiny import TEXTS, says

LINES = (
    BookLine(number=7, name="Robin Sample", mark="over", initials="AW", by="A. Weigher",
             when="Sep 5, 2026", game="g1"),
    BookLine(number=12, name="Kim Placeholder", mark="ok", initials="BS", by="B. Scale",
             when="Sep 12, 2026", game="g2"),
    BookLine(number=None, name="Pat Example"),
)  # fmt: skip
PAPER = BookPaper(
    head=HEAD, team="Hill Foxes", limit="Ten: not over 105 lb.", lines=LINES, spare_rows=2
)


def printed(paper: BookPaper, to: Path) -> list[str]:
    render_sheet(Sheet("book", {"paper": paper}, STAMP), to)
    check_pdf(to)
    return pages(to)


def paper_of(sheet: Sheet) -> BookPaper:
    paper = sheet.context["paper"]
    assert isinstance(paper, BookPaper)
    return paper


def test_marks_and_room_for_marks(tmp_path: Path) -> None:
    (text,) = printed(PAPER, tmp_path / "book.pdf")
    for said in (
        "Book: Hill Foxes",
        "The first mark stands:",
        "2 of 3 are marked.",
        "Ten: not over 105 lb.",
        "7 Robin Sample over AW A. Weigher, Sep 5, 2026, g1",
        "12 Kim Placeholder ok BS B. Scale, Sep 12, 2026, g2",
        "– Pat Example ok over",
        "Children’s names.",
    ):
        assert squeeze(said) in squeeze(text)
    with pikepdf.open(tmp_path / "book.pdf") as pdf:
        rows = [
            [kind(cell) for cell in kids(row)]
            for row in walk(pdf.Root.StructTreeRoot)
            if kind(row) == "TR"
        ]
    assert rows == [["TH"] * 5, *[["TD", "TH", "TD", "TD", "TD"]] * 3, *[["TD"] * 5] * 2]


def test_forty_players_of_every_kind(tmp_path: Path) -> None:
    kinds = (*HOSTILE, *RIGHT_TO_LEFT, *OTHER_SCRIPTS, EMOJI, NO_FONT)
    names = tuple(kinds[number % len(kinds)] for number in range(40))
    lines = tuple(
        replace(LINES[number % 3], number=number, name=name, by=name or "")
        for number, name in enumerate(names)
    )
    texts = printed(replace(PAPER, team="T" * 60, lines=lines), tmp_path / "book.pdf")
    whole = squeeze("".join(texts))
    for number, name in enumerate(names):
        if name in HOSTILE:
            shown = "".join(letter for letter in name if letter not in "\u202e\u202c")
            assert f"{number}{squeeze(shown)}" in whole
    for number, text in enumerate(texts, start=1):
        assert f"Page {number} of {len(texts)}" in text


def test_the_book_of_the_sample_season(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = book_sheet(Heads(signed), "newts")
    (text,) = printed_sheet(sheet, tmp_path / "book.pdf")
    assert squeeze("5 Bruno Wolkenfänger over TE Tobias Eggleplum, Sep 5, acorn-1a") in (
        squeeze(text)
    )
    assert squeeze("62 Bastian Kettlefern ok ZN Zbigniew Nebelzahn, Sep 19, acorn-3a") in (
        squeeze(text)
    )
    assert paper_of(sheet).marked == len(paper_of(sheet).lines)
    assert [file.name for file in sheet.attachments] == ["checkpoint.txt", "paper.json"]


def test_the_book_as_of_a_moment(signed: SqliteStore) -> None:
    before = paper_of(book_sheet(Heads(signed), "newts", as_of="2026-09-05T13:00:00.000Z"))
    assert before.marked == 0
    assert before.head.as_of == "Sat, Sep 5, 2026, 8:00 AM CDT"
    assert before.limit == (
        "Acorn: a ball carrier is not over 95 lb (43.1 kg); from Oct 1, 2026, 97 lb (44.0 kg)."
    )


def test_the_limit_in_force_comes_first(signed: SqliteStore) -> None:
    """By the local day of printing: midnight in Chicago is 5 in the morning of UTC."""
    for printed_at, limit in (
        ("2026-10-01T04:59:00.000Z", "95 lb (43.1 kg); from Oct 1, 2026, 97 lb (44.0 kg)."),
        (
            "2026-10-01T05:00:00.000Z",
            "97 lb (44.0 kg). Before: 95 lb. Marks made then still stand.",
        ),
    ):
        paper = paper_of(book_sheet(Heads(signed, printed_at=printed_at), "newts"))
        assert paper.limit.endswith(f"a ball carrier is not over {limit}")
    assert paper.limit.startswith("Acorn: since Oct 1, 2026, ")


def test_a_mark_moves_along_with_its_player(signed: SqliteStore) -> None:
    """Wombats 48 joins the capybaras as 80; a player has one book a division."""
    book = paper_of(book_sheet(Heads(signed), "capybaras"))
    moved = [line for line in book.lines if line.number == 80]
    assert [(line.mark, line.game, line.notes) for line in moved] == [
        ("ok", "oak-1b", ("Marked as wombats 48. It still counts.",))
    ]


def test_the_empty_form(signed: SqliteStore, tmp_path: Path) -> None:
    form = paper_of(blank_book_sheet(Heads(signed), "newts"))
    assert form.is_blank
    assert form.marked == 0
    assert len(form.lines) == 24
    assert not any(line.notes for line in form.lines)
    (text,) = printed_sheet(blank_book_sheet(Heads(signed)), tmp_path / "blank.pdf")
    assert "Book by hand" in text
    assert text.count("ok over") == 26
    assert "Team, division" in text
    assert text.count("Printed name, team") == 4  # whose initials these are
    assert text.count("Date") == 1


def test_a_team_of_twenty_six_is_on_one_side(signed: SqliteStore, tmp_path: Path) -> None:
    """The largest teams, with two empty rows and, by hand, a legend of initials above the rows."""
    for make, team in product((book_sheet, blank_book_sheet), ("pangolins", "capybaras")):
        sheet = make(Heads(signed), team)
        assert len(paper_of(sheet).lines) == 26
        (text,) = printed_sheet(sheet, tmp_path / "book.pdf")
        if make is blank_book_sheet:
            assert text.index("Printed name, team") < text.index(paper_of(sheet).lines[0].name)


def test_a_long_title_is_one_line_and_so_is_its_foot(signed: SqliteStore, tmp_path: Path) -> None:
    sheet = blank_book_sheet(Heads(signed), "snapdragons")
    lines = printed_sheet(sheet, tmp_path / "book.pdf")[0].splitlines()
    assert "Book by hand: Mossbottom Snapdragons" in lines
    (foot,) = [line for line in lines if line.endswith("Rules version 1")]
    assert foot.startswith("Book by hand, Mossbottom Snapdragons · Printed")


def test_a_slip_is_not_a_reason_to_change_a_good_mark(signed: SqliteStore) -> None:
    book, form = (make(Heads(signed), "newts") for make in (book_sheet, blank_book_sheet))
    htmls = [compose(one.document, one.context, stamp=one.stamp) for one in (book, form)]
    assert (
        "A later weigh never changes a mark. Wrong box in an empty row? Draw one line through it"
        in htmls[0]
    )
    assert "New players go in the empty rows. Enter their marks in the ledger" in htmls[0]
    assert "Already marked on another sheet? Leave the line empty." in htmls[1]
    assert not any("wrong mark" in html for html in htmls)


def test_a_marked_player_has_no_boxes_to_tick(signed: SqliteStore) -> None:
    """Number 77 too, who goes without a name on paper."""
    sheet = book_sheet(Heads(signed), "pangolins")
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    (row,) = [row for row in html.split("<tr>") if '<td class="jersey number">77</td>' in row]
    assert '<span class="ok">ok</span>' in row
    assert 'class="box"' not in row
    assert html.count('class="box"') == 2 * paper_of(sheet).spare_rows


def test_who_marked_when_and_where_is_one_line(signed: SqliteStore, tmp_path: Path) -> None:
    (text,) = printed_sheet(book_sheet(Heads(signed), "marmots"), tmp_path / "book.pdf")
    assert text.count("Ottoline Gooseblanket, Sep 5, acorn-1a") > 5


MARK = {"game": "g1", "team": "ash", "value": "over", "initials": "X"}


@pytest.mark.parametrize("first", ["the site official", "the head official"])
def test_a_note_beside_a_mark_that_needs_one(tmp_path: Path, first: str) -> None:
    """Number 1 is marked by the ash weighmaster and was ok; 2 by elm, and over."""
    role = first.removeprefix("the ").replace(" ", "_")
    league = TEXTS["league"] + f'\n[reviews]\nother = ["{role}"]\n'
    lines = [
        says("weigh", game="g1", team="ash", number=1, value="ok"),
        says("weigh", game="g1", team="ash", number=2, value="over"),
        says("initial", number=1, **MARK, by="wa"),
        says("initial", number=2, **MARK),
    ]
    with season(tmp_path, *lines, league=league) as store:
        paper = paper_of(book_sheet(Heads(store), "ash"))
        assert not paper.has_rulings
        assert [line.notes for line in paper.lines] == [
            (f"The scale said ok that day. If the scale is out, ask {first}.", OWN_SIDE),
            (),
        ]


def test_a_note_beside_a_mark_with_a_ruling(tmp_path: Path) -> None:
    """Of two rulings for one game the latest counts; another's ruling and a denial say nothing."""
    ruling = {"kind": "ruling", "game": "g1", "team": "ash", "player": "a2", "value": "decided"}
    lines = [
        says("initial", number=2, **MARK),
        opens(),
        adds(**ruling, clock="09:10", by="so", may_carry="no"),
        adds(**ruling, clock="09:20", by="so", may_carry="yes"),
        adds(**ruling, clock="09:30", by="wa", may_carry="no"),
        adds("ruling", "09:40", by="dp", value="denied"),
    ]
    note = "For g1 only: ruled may carry."
    with season(tmp_path, *lines) as store:
        now = book_sheet(Heads(store), "ash")
        assert [line.notes for line in paper_of(now).lines] == [(), (note,)]
        html = compose(now.document, now.context, stamp=now.stamp)
        assert f'<strong class="remark">{note}</strong>' in html
        assert "Read the note" in html
        assert "A ruling counts only for the game it names." in html
        before = paper_of(book_sheet(Heads(store), "ash", as_of="2026-09-05T14:15:00.000Z"))
        assert before.lines[1].notes == ("For g1 only: ruled may not carry.",)


def test_an_unknown_team(signed: SqliteStore) -> None:
    for make in (book_sheet, blank_book_sheet):
        with pytest.raises(InputError, match="no team foxes"):
            make(Heads(signed), "foxes")


def test_the_book_has_more_empty_rows_where_the_page_has_room(signed: SqliteStore) -> None:
    rows = {
        team: paper_of(book_sheet(Heads(signed), team)).spare_rows
        for team in ("capybaras", "quokkas")
    }
    assert rows == {"capybaras": 2, "quokkas": 5}
