"""Closing, signing and printing a list tell first what is open; to go on takes a deliberate yes."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Run
from tests.commands.test_note_question import Terminal
from tests.tiny import day, events_in, says, tiny_store

Folder = Callable[..., Path]
A2 = {"game": "g1", "team": "ash", "player": "a2"}
LINES = (
    says("weigh", game="g1", team="ash", number=1, value="ok"),
    says("weigh", **A2, value="over"),
)
CLOSE = ["record", "close", "--game", "g1", "--team", "ash", "--by", "we"]
INK = ["sign", "g1", "ash", "--by", "we", "--ink", "scan.pdf"]
PRINT = ["print", "list", "g1", "ash", "--to", "list.pdf"]
CODES = "noncarrier_not_listed,noncarrier_not_striped"
TOLD = (
    "To settle first, for ash in g1:\n"
    "  – No. 2: weighed over, and not listed as over. Add a line. Tape the helmet.\n"
)


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("sys.stdin", io.StringIO())
    (tmp_path / "scan.pdf").write_bytes(b"%PDF- a scan")
    with tiny_store(folder(day=day(*LINES))):
        pass
    return (tmp_path / "tiny.weighbook").rename(tmp_path / "season.weighbook")


@pytest.mark.parametrize("command", [CLOSE, INK], ids=["close", "sign"])
def test_a_script_names_what_is_open(run: Run, ledger: Path, command: list[str]) -> None:
    before = ledger.read_bytes()
    for more in ([], ["--despite", "noncarrier_not_listed"]):
        ran = run(*command, *more)
        assert ran.status == 2
        assert ran.err == (
            f"{TOLD}nothing was recorded: this is still open\n"
            f"To go on all the same, add: --despite {CODES}\n"
        )
        assert ledger.read_bytes() == before
    ran = run(*command, "--despite", CODES)
    assert (ran.status, ran.err) == (0, TOLD)


def test_who_signed_all_the_same_is_said_to_the_next(run: Run, ledger: Path) -> None:
    run(*INK, "--despite", CODES)
    assert events_in(ledger)[-1].data["despite"] == CODES.split(",")
    assert "    Open when signed: not listed as over and no stripe.\n" in run(*INK).out


@pytest.mark.parametrize(
    ("command", "asks"),
    [(CLOSE, "Close it all the same?"), (INK, "Sign it all the same?"),
     (PRINT, "Print it all the same?")],
)  # fmt: skip
def test_at_a_terminal_it_is_no_unless_yes_is_typed(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch, command: list[str], asks: str
) -> None:
    before = ledger.read_bytes()
    monkeypatch.setattr("sys.stdin", Terminal("\n"))
    ran = run(*command)
    assert (ran.status, ledger.read_bytes()) == (130, before)
    assert ran.err.startswith(f"{TOLD}{asks} [y/N]:")
    assert not ledger.with_name("list.pdf").exists()
    monkeypatch.setattr("sys.stdin", Terminal("y\n"))
    assert run(*command).status == 0


@pytest.mark.usefixtures("papers_set_once")
def test_a_script_prints_a_list_that_says_it_itself(run: Run, ledger: Path) -> None:
    assert run(*PRINT) == (0, "Wrote list.pdf.\n", TOLD)


def test_names_are_shown_where_they_are_asked_for(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that a slip shows: in what is open, in the list, and in the echo of an entry."""
    assert "No. 2 Ottla Bramblewick: weighed over" in run(*CLOSE, "--names").err
    listing = [
        "record",
        "list",
        "--game",
        "g1",
        "--team",
        "ash",
        "--number",
        "2",
        "--by",
        "we",
        "--reason",
        "over",
    ]
    assert "g1, ash 2 (a2). Put on the list" in run(*listing).out
    monkeypatch.setenv("WEIGHBOOK_NAMES", "1")
    assert "g1, ash 2 (a2, Ottla Bramblewick). Put on the list" in run(*listing).out
    assert "2      a2        Ottla Bramblewick  over" in run(*INK).out
    undo = ["record", "withdraw", "--target", "office:22", "--by", "we", "--reason", "slip"]
    assert "Taken back: g1, ash 2 (a2, Ottla Bramblewick)." in run(*undo).out


def test_nothing_says_to_strike_off_a_child_who_may_not_play(run: Run, ledger: Path) -> None:
    """Listed as absent, came at 10:50, after the half: the line stays, and nobody is told else."""
    more = ["--game", "g1", "--team", "ash", "--number", 2, "--by", "we"]
    run("record", "list", *more, "--reason", "absent", "--at", "2026-09-05 08:45")
    run("record", "withdraw", "--target", "office:22", "--by", "we", "--reason", "not here")
    late = ["record", "late_weigh", *more, "--value", "ok", "--at", "2026-09-05 10:50"]
    assert "strike the player off the list" in run(*late).out
    run("record", "withdraw", "--target", "office:25", "--by", "we", "--reason", "again")
    run("record", "half", "--game", "g1", "--half", 1, "--by", "so", "--at", "2026-09-05 10:40")
    ran = run(*late)
    assert "late_after_half" in ran.out
    assert "strike" not in ran.out


def test_a_weigh_after_the_close_offers_a_late_weigh(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(*CLOSE, "--despite", CODES, "--at", "2026-09-05 08:50")
    weigh = ["record", "weigh", *CLOSE[2:], "--number", 1, "--value", "ok"]
    weigh += ["--at", "2026-09-05 08:55"]
    ran = run(*weigh)
    assert ran.status == 0
    assert ran.err == (
        "The weigh-in of ash in g1 closed at 8:50 AM CDT, and this weigh was at 8:55 AM CDT.\n"
        "Record late_weigh for a player who came after the close.\n"
    )
    for typed, kind in (("y\n", "late_weigh"), ("n\n", "weigh")):
        monkeypatch.setattr("sys.stdin", Terminal(typed))
        assert "Record it as a late weigh? [y/n]:" in run(*weigh).err
        assert events_in(ledger)[-1].kind == kind


def test_a_missing_signature_names_the_list_and_the_side(run: Run, ledger: Path) -> None:
    ran = run("findings", "--game", "g1", "--rule", "list_not_countersigned")
    assert "    list_not_countersigned    list of ash, signature of elm\n" in ran.out
