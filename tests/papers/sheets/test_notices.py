"""Pages for the board and for parents, and the plan of a first try: one side each, no child on it.

Common practice, no source: two adults in the open, no coaxing, paper as the original of a first
try. What they say of weight and heat rests on the sources named in test_card.py.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.cards import card_sheet
from ledger.papers.sheets.notices import board_sheet, parent_sheet, pilot_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import printed_sheet, squeeze
from tests.tiny import LEAGUE, TEXTS, tiny_store, write_folder

Make = Callable[[Heads], Sheet]
SAYS: dict[Make, tuple[str, ...]] = {
    board_sheet: (
        "A body weight. There is no place for one",
        "Anyone who can open the device: the ledger is a plain file.",
        "weighbook sends nothing to outside services.",
        "Lists and books: the registrar and both teams’ weighmasters.",
        "Names and notes are kept until Jun 30, 2027, and then erased.",
        "Call the registrar. Lock or wipe the device from afar.",
        "Any minute: take the blank list and a pen, and go on.",
        "not that an entry was true",
        "Registrar Names, numbers, papers Godfrey Qamarwarda",
    ),
    parent_sheet: (
        "Nobody writes down a weight.",
        "Acorn 97 lb (44.0 kg) · Oak 127 lb (57.6 kg). Since Oct 1, 2026. Before: Acorn 95 lb, Oak",
        "Ask the site official, away from the scale and the children.",
        "your child plays, and does not carry the ball",
        "A player who was not weighed does not play. If the scale is out, the mark from the first",
        "Never a weight, a birth date or an address. About health, only “injured”, if your child",
        "The registrar, the weighmasters of both teams, officials, those who decide",
        "and anyone who can open the league’s device or a copy of the ledger.",
        "Every player who may play is due at least 10 plays, late players too, unless excused.",
        "Let your child eat and drink as on any day.",
        "Your child may step aside at any time. Nobody presses them.",
        "The league may scan a paper for its record. Nobody may post one or pass it on.",
        "Names and notes are kept until Jun 30, 2027, and then erased.",
        "to have your child go by number, without a name, on every paper and screen;",
        "File a protest within 48 hours of the end of the game.",
        "Registrar: Godfrey Qamarwarda Phone",
    ),
    pilot_sheet: (
        "Paper stays the original:",
        "Weighmasters check the printed book; coaches check numbers.",
        "No child waits for the device.",
        "Stop at once, and go on with paper,",
        "Lines where paper and device differ",
        "After that go on two more Saturdays, with changes stop; delete all copies",
        "The board We decide as ticked here.",
    ),
}


@pytest.mark.parametrize("make", SAYS, ids=lambda make: make.__name__)
def test_one_side_that_says_what_people_ask(
    signed: SqliteStore, tmp_path: Path, make: Make
) -> None:
    (text,) = printed_sheet(make(Heads(signed)), tmp_path / "notice.pdf")
    for said in SAYS[make]:
        assert squeeze(said) in squeeze(text)
    for no_child in ("Wolkenfänger", "Children’s names"):
        assert squeeze(no_child) not in squeeze(text)


def test_what_the_league_has_not_set_is_left_to_be_asked(tmp_path: Path) -> None:
    """No date for erasing, two attempts, and no registrar: room to write in."""
    officials = TEXTS["officials"].replace("rg,Kit Underbough,registrar,\n", "")
    files = {"league": LEAGUE + "[weigh_in]\nattempts = 2\n", "officials": officials}
    with tiny_store(write_folder(tmp_path / "season", **files)) as store:
        parents, board = (make(Heads(store)) for make in (parent_sheet, board_sheet))
        html = compose(parents.document, parents.context, stamp=parents.stamp)
        assert "The league has not set yet how long names are kept. Ask the registrar." in html
        assert "A player may be weighed twice" in html
        assert '<p>Registrar: <strong></strong></p>\n<p class="phone">Name, phone <span' in html
        html = compose(board.document, board.context, stamp=board.stamp)
        assert "It should set one (keep_personal_until)." in html


@pytest.mark.parametrize(
    ("printed_at", "limit", "changes"),
    [
        ("2026-09-20T12:00:00.000Z", "78 lb (35.4 kg)", "From Oct 1, 2026: Sapling Division 73 lb"),
        ("2026-10-01T12:00:00.000Z", "80 lb (36.3 kg)", "Since Oct 1, 2026. Before: Sapling"),
    ],
)
def test_one_side_for_a_league_of_eight_divisions(
    tmp_path: Path, printed_at: str, limit: str, changes: str
) -> None:
    """The limit in force comes first, each in kilograms too."""
    names = ("Sapling", "Acorn", "Oak", "Pine", "Larch", "Hemlock", "Tamarack", "Sycamore")
    rows = [f"d{n},{name} Division,{70 + n}" for n, name in enumerate(names, start=1)]
    divisions = "\n".join(["division,name,carrier_limit_lb", *rows, ""])
    league = LEAGUE + '[weigh_in]\nlimit_allowance = [{from = "2026-10-01", lb = 2}]\n'
    files = {"league": league, "divisions": divisions}
    with tiny_store(write_folder(tmp_path / "season", **files)) as store:
        heads = Heads(store, printed_at=printed_at)
        (text,) = printed_sheet(parent_sheet(heads), tmp_path / "notice.pdf")
        front, _ = printed_sheet(card_sheet(heads), tmp_path / "card.pdf")
    for paper in (text, front):
        assert squeeze(f"Sycamore Division {limit}") in squeeze(paper)
        assert squeeze(changes) in squeeze(paper)
