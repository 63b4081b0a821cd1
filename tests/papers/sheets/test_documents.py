"""The table of papers: every row has its template and a maker that takes what the row says."""

from __future__ import annotations

import inspect
import subprocess
import sys
from importlib import import_module

import pytest

from ledger.errors import InputError
from ledger.papers.press.compose import documents
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.documents import DOCUMENTS, Document, make_again, name_of
from ledger.store.sqlite.store import SqliteStore


def test_every_template_has_a_row() -> None:
    assert sorted({one.template for one in DOCUMENTS}) == documents()
    assert len({one.command for one in DOCUMENTS}) == len(DOCUMENTS)


def test_names_for_people() -> None:
    assert name_of("board_page") == "page for the board"
    assert name_of("ineligible_list") == "ineligible list"
    assert name_of("menu") == "menu"


def test_a_list_of_papers_makes_none() -> None:
    """`print --help` names every paper without the packages that make them."""
    code = "import sys, ledger.commands.print_; print(*sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout.split()
    sheets = {one for one in ran if one.startswith("ledger.papers.")}
    assert sheets == {"ledger.papers.sheets", "ledger.papers.sheets.documents"}
    assert not {"duckdb", "jinja2", "pikepdf", "pydantic"} & set(ran)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda one: one.command)
def test_a_maker_takes_what_its_row_says(document: Document) -> None:
    module, _, name = document.maker.partition(".")
    maker = getattr(import_module(f"ledger.papers.sheets.{module}"), name)
    signature = inspect.signature(maker)
    signature.bind("heads", **dict.fromkeys(document.needs, ""))
    signature.bind("heads", **dict.fromkeys({*document.needs, *document.optional}, ""))
    with pytest.raises(TypeError):
        signature.bind("heads", another="")
    assert not document.takes(dict.fromkeys({*document.needs, "another"}, ""))
    for left_out in document.needs:
        with pytest.raises(TypeError):
            signature.bind("heads", **dict.fromkeys({*document.needs} - {left_out}, ""))


@pytest.mark.parametrize(
    ("template", "arguments", "command"),
    [
        ("book", {"team": "newts"}, "book"),
        ("book", {"team": "newts", "blank": True}, "blank-book"),
        ("book", {"blank": True}, "blank-book"),
        ("card", {}, "card"),
        ("season_summary", {"as_of": "2026-10-01T00:00:00.000Z"}, "season-summary"),
    ],
)
def test_arguments_say_which_row(
    template: str, arguments: dict[str, str | bool], command: str
) -> None:
    rows = [one for one in DOCUMENTS if one.template == template and one.takes(arguments)]
    assert [one.command for one in rows] == [command]


@pytest.mark.parametrize(
    ("template", "arguments", "hint"),
    [
        ("menu", {}, "Papers are: blank_case, blank_list, board_page, book"),
        ("book", {}, "It needs: team or nothing. Optional: as_of, known_at, team."),
        ("card", {"team": "newts"}, "It needs: nothing. Optional: game."),
        ("receipt", {}, "It needs: event. Optional: nothing."),
        ("book", {"team": "newts", "blank": False}, "It needs: team or nothing."),
    ],
)
def test_what_is_no_paper(
    signed: SqliteStore, template: str, arguments: dict[str, str | bool], hint: str
) -> None:
    with pytest.raises(InputError) as caught:
        make_again(Heads(signed), template, arguments)
    assert caught.value.hint.startswith(hint)
