"""Monday's page as lines: what stands below what, and the commands with the store's option."""

from __future__ import annotations

from ledger.say.lines import Line
from ledger.say.monday import ANSWERED, ASK, CONFIRMED, TO_ASK, TO_CONFIRM, Page
from ledger.say.monday import page_lines as lines_of
from ledger.say.monday_items import Block, Group, Item

STORE = " --store fall.weighbook"
MARK = Item(
    rule="book_not_initialed",
    about="newts 12: ",
    said="no mark in the book.",
    why="The mark is for the games to come.",
    command="weighbook record initial",
)
NO_STEP = Item(rule="scale_not_proved", about="", said="no check.")
GROUP = Group(
    role="weighmasters of newts",
    blocks=(Block(game="g1", teams="newts at marmots", until="by 7", items=(MARK, NO_STEP)),),
)
RULED = Item(rule="", about="newts 9: ", said="A protest.", asked="Answered: case c2.")
DONE = Block(game="g1", teams="newts at marmots", until="", items=(RULED,))


def page(**parts: tuple[object, ...]) -> Page:
    empty: dict[str, tuple[object, ...]] = dict.fromkeys(
        ("well", "notes", "settle", "still", "answered", "cases", "to_confirm", "confirmed"), ()
    )
    return Page(title="After week 1", running="week 1", **(empty | parts))  # type: ignore[arg-type]


def test_the_whole_page() -> None:
    shown = page(
        well=(
            ("g1", "Newts at Marmots", "everything", "Monday"),
            ("g2", "A at B", "called off", ""),
        ),
        notes=("Plays in g2: elsewhere.",),
        answered=(DONE,),
        settle=(GROUP,),
        cases=(("c1", "about newts 12", "open"),),
        to_confirm=(("Hazel weighed", "weighbook record appoint"),),
        confirmed=("Pip weighed, confirmed by registrar",),
    )
    assert lines_of(shown, STORE)[1:] == [
        Line(""),
        Line("What went well"),
        Line("g1, Newts at Marmots: everything. Protests until Monday.", 2, 4),
        Line("g2, A at B: called off.", 2, 4),
        Line("Plays in g2: elsewhere.", 2, 4),
        Line(""),
        Line("What to settle"),
        Line("For: weighmasters of newts", 2),
        Line("g1, newts at marmots: by 7", 4, 6),
        Line("newts 12: no mark in the book. (book_not_initialed)", 6, 8),
        Line("The mark is for the games to come.", 8, 8),
        Line(f"weighbook record initial{STORE}", 8),
        Line("no check. (scale_not_proved)", 6, 8),
        Line(""),
        Line(ANSWERED),
        Line("g1, newts at marmots", 4, 6),
        Line("newts 9: A protest.", 6, 8),
        Line("Answered: case c2.", 8, 8),
        Line(""),
        Line(TO_CONFIRM),
        Line("Hazel weighed", 2, 4),
        Line(f"weighbook record appoint{STORE}", 4),
        Line(""),
        Line(CONFIRMED),
        Line("Pip weighed, confirmed by registrar", 2, 4),
        Line(""),
        Line("Open questions"),
        Line("c1 (about newts 12): open", 2, 4),
        Line(""),
        Line(TO_ASK),
        Line(f"{ASK}{STORE}", 2),
    ]


def test_nothing_to_settle() -> None:
    assert lines_of(page(), "")[-2:] == [Line(""), Line("Nothing to settle.")]
    assert Line("Nothing to settle.") not in lines_of(page(to_confirm=(("So", "type"),)), "")
    assert Line("Nothing to settle.") not in lines_of(page(settle=(GROUP,)), "")
