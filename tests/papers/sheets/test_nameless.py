"""A child without a name in players.csv goes by number, on every paper."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.blank_lists import BlankPaper, blank_sheet
from ledger.papers.sheets.books import BookPaper, blank_book_sheet, book_sheet
from ledger.papers.sheets.lists import ListPaper, list_sheet
from ledger.papers.sheets.play_counts import play_count_sheet
from ledger.say.names import Names
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import NO_FONT
from tests.papers.sheets.packet_pages import print_packet
from tests.review.cases_of import opens, season
from tests.tiny import TEXTS, says

NAMELESS = {"players": TEXTS["players"].replace("a2,ash,2,Ottla Bramblewick", "a2,ash,2,")}
HIDDEN = "(name not shown: use\u00a02)"
ABOUT = {"game": "g1", "team": "ash", "player": "a2"}
LINES = [
    says("list", **ABOUT, reason="over"),
    says("weigh", **ABOUT, value="over"),
    says("initial", **ABOUT, value="over", initials="IL"),
    opens(note="Was number 2 weighed?"),
]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    with season(tmp_path, *LINES, **NAMELESS) as made:
        yield made


def test_the_list_and_its_empty_form(store: SqliteStore) -> None:
    paper = list_sheet(Heads(store), "g1", "ash").context["paper"]
    assert isinstance(paper, ListPaper)
    assert [(line.number, line.name) for line in paper.lines] == [(2, HIDDEN)]
    blank = blank_sheet(Heads(store), "ash", "g1").context["paper"]
    assert isinstance(blank, BlankPaper)
    assert [(line.number, line.name) for line in blank.roster] == [
        (1, "Pip Quillfeather"),
        (2, HIDDEN),
    ]
    tally = play_count_sheet(Heads(store), "ash", "g1").context["paper"]
    assert [line.name for line in tally.lines] == ["Pip Quillfeather", HIDDEN]


def test_the_book_and_its_empty_form(store: SqliteStore) -> None:
    for sheet in (book_sheet(Heads(store), "ash"), blank_book_sheet(Heads(store), "ash")):
        paper = sheet.context["paper"]
        assert isinstance(paper, BookPaper)
        assert [line.name for line in paper.lines] == ["Pip Quillfeather", HIDDEN]


@pytest.mark.parametrize("kind", ["review_packet", "protest_packet"])
def test_the_packets(store: SqliteStore, tmp_path: Path, kind: str) -> None:
    printed = print_packet(store, "c1", kind, tmp_path / "packet.pdf")  # type: ignore[arg-type]
    assert printed.says("No. 2, Ash Trees, game g1")
    assert printed.says("No. 2: weighed: over the carrier limit")
    for wrong in ("No. 2 No. 2:", "no name on record"):
        assert not printed.says(wrong)


def test_a_number_that_was_never_given_leaves_the_id(store: SqliteStore) -> None:
    names = Names(store, [stored.event for stored in store.events()])
    assert names.child("a1", None) == "Pip Quillfeather"
    assert names.child("a2", 12) == "No. 12"
    assert names.child("a2", None) == "a2"


NO_LETTERS = {
    "players": TEXTS["players"]
    .replace("Pip Quillfeather", f"{NO_FONT} (Kim Placeholder)")
    .replace("Ottla Bramblewick", NO_FONT),
    "officials": TEXTS["officials"].replace("Ivo Larkspur", NO_FONT),
}


def test_a_name_in_letters_that_no_font_has(tmp_path: Path) -> None:
    """Papers show the spelling in brackets, else words; never boxes."""
    with season(tmp_path, *LINES, **NO_LETTERS) as store:
        book = book_sheet(Heads(store), "ash")
        assert [(line.number, line.name, line.by) for line in book.context["paper"].lines] == [
            (1, "Kim Placeholder", ""),
            (2, HIDDEN, "we (name on the screen only)"),
        ]
        tally = play_count_sheet(Heads(store), "ash", "g1").context["paper"]
        assert tally.lines[1].name == HIDDEN
        for form in (blank_sheet(Heads(store), "ash", "g1"), blank_book_sheet(Heads(store), "ash")):
            paper = form.context["paper"]
            rows = paper.roster if isinstance(paper, BlankPaper) else paper.lines
            assert [row.name for row in rows] == ["Kim Placeholder", "(ask; write the name)"]
        html = compose(book.document, book.context, stamp=book.stamp)
        assert "\N{REPLACEMENT CHARACTER}" not in html
        assert "[…]" not in html
        printed = print_packet(store, "c1", "review_packet", tmp_path / "packet.pdf")
        assert printed.says("No. 2 (name on the screen only), Ash Trees, game g1")
