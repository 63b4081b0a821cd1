"""A text that seems to hold a body weight or a birth date is kept by a deliberate answer only."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Run
from tests.tiny import day, disclosed, says, tiny_store

Folder = Callable[..., Path]
NOTE = "Says 95 lb at home, born March 5, 2014."
WEIGH = says("weigh", game="g1", team="ash", number=1, value="ok")
OPENED = says("case_open", case="c1", reason="other", game="g1", team="ash", number=1)


class Terminal(io.StringIO):
    """What somebody types at a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tiny season with a case, where the commands look for it; nobody can be asked."""
    monkeypatch.setattr("sys.stdin", io.StringIO())
    with tiny_store(folder(day=day(OPENED))):
        pass
    return (tmp_path / "tiny.weighbook").rename(tmp_path / "season.weighbook")


COMMANDS = [
    "record weigh --game g1 --team ash --number 1 --value ok --by we --note",
    "record withdraw --target office:21 --by so --reason",
    "record scale_out --game g1 --by so --reason",
    "case open --reason roster --by we --note",
    "case refer c1 --by so --note",
    "case say c1 --by so --note",
    "case exhibit c1 season/league.toml --by so --note",
    "case rule c1 --value denied --by so --note",
    "case close c1 --by so --note",
    "erase a1 --by rg --yes --reason",
    "redact 00000000 season/league.toml --by rg --reason",
    "revoke we --by rg --reason",
]


@pytest.mark.parametrize("command", COMMANDS[:-1])  # without a key there is nothing to revoke
def test_every_command_that_takes_a_text_asks(run: Run, ledger: Path, command: str) -> None:
    """With the words that raised it, never the rest of the text."""
    before = ledger.read_bytes()
    ran = run(*command.split(), NOTE)
    assert (ran.status, ran.out) == (2, "")
    first, told, why, out = ran.err.splitlines()
    assert first == "1 text seems to hold a body weight or a birth date; nothing was written:"
    assert told.endswith(": '95 lb', 'born', 'March 5, 2014'")
    assert why.startswith("weighbook keeps no body weight and no birth date: ok or over is all")
    assert (
        out == "Take it out. If it is neither, say so: run the command again with --note-is-fine."
    )
    assert "at home" not in ran.err
    assert ledger.read_bytes() == before


@pytest.mark.parametrize("command", COMMANDS[:-2])  # there is no such exhibit, and no key
def test_the_same_with_a_deliberate_answer_is_done(run: Run, ledger: Path, command: str) -> None:
    ran = run(*command.split(), NOTE, "--note-is-fine")
    assert ran.status == 0
    assert ran.err.startswith(
        "Kept, because you confirmed that these are not weights or birth dates:\n  "
    )


@pytest.mark.parametrize(
    ("typed", "is_kept"), [("y\n", True), ("yes\n", True), ("\n", False), ("n\n", False)]
)
def test_on_a_terminal_the_answer_is_no_unless_yes_is_typed(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch, typed: str, is_kept: bool
) -> None:
    monkeypatch.setattr("sys.stdin", Terminal(typed))
    before = ledger.read_bytes()
    ran = run(*COMMANDS[0].split(), NOTE)
    assert "Record it anyway? [y/N]:" in ran.err
    assert (ran.status, ledger.read_bytes() != before) == (0 if is_kept else 130, is_kept)
    assert ("Nothing was recorded" in ran.err) is not is_kept


def test_the_name_of_a_file_that_is_kept_is_a_text_too(
    run: Run, ledger: Path, tmp_path: Path
) -> None:
    (tmp_path / "at-95lb.txt").write_text("a sheet")
    exhibit = ["case", "exhibit", "c1", "at-95lb.txt", "--by", "so"]
    assert run(*exhibit).err.splitlines()[1] == "  file name: '95lb'"
    assert run(*exhibit, "--digest-only").status == 0
    redact = ["redact", "00000000", "at-95lb.txt", "--by", "rg", "--reason", "a name"]
    assert run(*redact).err.splitlines()[1] == "  file name: '95lb'"


def test_a_load_lists_every_line_and_loads_none(
    run: Run, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO())
    ran = run("load", folder(day=day(WEIGH, WEIGH | {"note": NOTE}, WEIGH | {"note": "43 kg"})))
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.splitlines()[:3] == [
        "2 texts seem to hold a body weight or a birth date; nothing was written:",
        "  days/01.csv, line 3, note: '95 lb', 'born', 'March 5, 2014'",
        "  days/01.csv, line 4, note: '43 kg'",
    ]
    assert not list(tmp_path.glob("season.weighbook*"))


def test_what_was_loaded_before_is_not_asked_about_again(
    run: Run, folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor what was erased since; a new line is."""
    monkeypatch.setattr("sys.stdin", io.StringIO())
    noted = WEIGH | {"note": NOTE}
    assert run("load", folder(day=day(noted)), "--note-is-fine").status == 0
    assert run("load", folder(day=day(noted, WEIGH))).status == 0
    assert run("erase", "a1", "--by", "rg", "--reason", "asked", "--yes").status == 0
    assert run("load", folder(day=day(noted, WEIGH))).status == 0
    ran = run("load", folder(day=day(noted, WEIGH, noted)))
    assert ran.err.splitlines()[1].startswith("  days/01.csv, line 4, note: ")


def test_a_note_about_the_scale_and_a_day_to_play_on_raise_no_question(
    run: Run, ledger: Path, folder: Folder
) -> None:
    station = "record station --game g1 --reading 10.5 --limit 95 --by so --note"
    assert run(*station.split(), "check weight read 10.5 lb; limit 95 lb").err == ""
    moved = "record game_change --game g1 --site Hollow --by so --reason"
    assert run(*moved.split(), "moved to 2026-09-12").err == ""


def test_a_text_let_in_is_kept_as_it_was_typed(folder: Folder, run: Run, tmp_path: Path) -> None:
    with tiny_store(folder()) as store:
        words = [*COMMANDS[0].split(), NOTE, "--note-is-fine", "--store", "tiny.weighbook"]
        assert run(*words).status == 0
        *_, weigh = (stored.event for stored in store.events())
        assert disclosed(store, weigh) == {"note": NOTE}
