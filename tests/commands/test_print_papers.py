"""weighbook print: every paper by its command, and a whole Saturday."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.commands.print_ import PAPERS
from ledger.papers.press import many
from tests.commands.conftest import Run
from tests.papers.pdf_checks import check_pdf
from tests.papers.samples import pages

pytestmark = pytest.mark.usefixtures("papers_set_once")
COMMANDS = {
    "list acorn-1a newts": "Ineligible list: Glimmerfen Newts",
    "blank-list newts --game acorn-1a": "Weigh-in by hand: Glimmerfen Newts",
    "play-count newts --game acorn-1a": "Play count: Glimmerfen Newts",
    "book newts": "Book: Glimmerfen Newts",
    "blank-book newts": "Book by hand: Glimmerfen Newts",
    "blank-book": "Team, division",
    "card": "Weigh-in card",
    "card acorn-1a": "acorn-1a",
    "receipt office:406": "Receipt: a list was signed",
    "board-page": "What weighbook keeps",
    "parent-notice": "The weigh-in, for parents",
    "pilot-plan": "Pilot plan",
    "monday quillowick --week 2": "After week 2 (Sat, Sep 12, 2026), association quillowick",
    "blank-case": "Question or protest",
}


@pytest.mark.parametrize("words", COMMANDS)
def test_a_paper_is_written(run: Run, sample_ledger: Path, tmp_path: Path, words: str) -> None:
    ran = run("print", *words.split(), "--to", "a.pdf", "--store", sample_ledger)
    assert (ran.status, ran.out.splitlines()[0], ran.err) == (0, "Wrote a.pdf.", "")
    check_pdf(tmp_path / "a.pdf")
    assert COMMANDS[words] in pages(tmp_path / "a.pdf")[0]


def test_an_empty_list_says_which_game_it_is_for(run: Run, sample_ledger: Path) -> None:
    """On its own it takes the next game not weighed yet; in November there is none left."""
    words = ["print", "blank-list", "newts", "--to", "a.pdf", "--store", sample_ledger]
    ran = run(*words, "--game", "acorn-1a")
    kickoff = "Sat, Sep 5, 2026, 9:00 AM CDT"
    told = f"Form for acorn-1a: Mossbottom Marmots at Glimmerfen Newts, {kickoff}."
    assert ran == (0, f"Wrote a.pdf.\n{told}\n", "")
    ran = run(*words)
    assert "\nForm for acorn-7a: " in ran.out
    assert ran.err == "acorn-7a is already weighed, and newts has no later game.\n"


@pytest.mark.parametrize("name", [command.name for command in PAPERS])
def test_help_fits_a_terminal_and_has_an_example(run: Run, name: str) -> None:
    ran = run("print", name, "--help")
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    assert f"weighbook print {name}" in " ".join(ran.out.split())
    assert "Example" in ran.out


def test_a_saturday(
    run: Run, sample_ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only lists are really made here: a Saturday of papers takes its time."""
    monkeypatch.setattr(many, "cores", lambda: 1)
    real = many.render_sheet

    def quickly(sheet: many.Sheet, to: Path) -> None:
        if sheet.document == "ineligible_list":
            real(sheet, to)
        else:
            to.write_bytes(b"%PDF-")

    monkeypatch.setattr(many, "render_sheet", quickly)
    ran = run("print", "all", "--week", "3", "--to", "saturday", "--store", sample_ledger)
    assert ran.status == 0
    assert ran.out == "Wrote 27 papers for 3 games on Sep 19, 2026 to saturday.\n"
    assert "oak-3b is called off: no papers.\n" in ran.err
    made = sorted(path.name for path in (tmp_path / "saturday").iterdir())
    assert len(made) == 27
    assert made[0] == "0900-acorn-3a-blank-list-dormice.pdf"
    again = run("print", "all", "--week", "3", "--to", "saturday", "--store", sample_ledger)
    assert (again.status, again.out) == (2, "")
    assert "saturday already exists\n" in again.err


def test_a_week_that_is_not_there(run: Run, sample_ledger: Path, tmp_path: Path) -> None:
    ran = run("print", "all", "--week", "8", "--to", "saturday", "--store", sample_ledger)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == (
        "there is no week 8 in this season\n"
        "Week 1 is Sep 5, 2026; the last, week 7, is Oct 17, 2026.\n"
    )
    assert list(tmp_path.iterdir()) == []
