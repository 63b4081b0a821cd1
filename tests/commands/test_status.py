"""weighbook status tells now; closing the season lists what is open; a game that is off says so."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from ledger.derive.game_state import steps
from ledger.say.status import missing
from tests.commands.conftest import Run
from tests.commands.test_note_question import Terminal
from tests.tiny import day, events_in, says, tiny_store

Folder = Callable[..., Path]
Make = Callable[..., Path]
ASH = {"game": "g1", "team": "ash"}
WEIGHED = says("weigh", **ASH, number=1, value="over")
SIGNED = says("countersign", **ASH, at="2026-09-05T08:50")
MOVED = says("game_change", game="g2", kickoff="2026-09-13T14:30", site="Lower Green", by="so",
             reason="mud")  # fmt: skip
OFF = says("game_off", game="g2", by="so", reason="rain", at="2026-09-12T08:00")
CASE = says("case_open", case="c1", reason="other")


@pytest.fixture
def made(folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Make:
    """`made(line, …)` is the tiny season with these lines, where the commands look for it."""
    monkeypatch.setattr("sys.stdin", io.StringIO())

    def make(*lines: Mapping[str, str]) -> Path:
        with tiny_store(folder(day=day(*lines))):
            pass
        return (tmp_path / "tiny.weighbook").rename(tmp_path / "season.weighbook")

    return make


def games(text: str) -> str:
    """The part of `status` about games."""
    return text.partition("\nSep 5")[2].partition("\nweighbook status GAME")[0]


def test_status_tells_each_game_as_it_stands_now(run: Run, made: Make) -> None:
    """g1 was weighed, badly; g2 was moved, its day is over, and nobody was weighed."""
    made(WEIGHED, SIGNED, MOVED)
    assert games(run("status").out) == (
        ", 2026\n"
        "  g1: 10:00 AM CDT, Green\n"
        "    elm 0/2 at ash 1/2 weighed; 1 of 4 signed; 2 entries\n"
        "    Missing: 1 book mark, 3 signatures, 2 weighmasters at the scale, 1 line for\n"
        "    over, 1 stripe, 1 team's plays, 1 player not accounted for\n"
        "Sep 13, 2026\n"
        "  g2: 2:30 PM CDT (moved from Sat, Sep 12, 2026, 10:00 AM CDT), Lower Green\n"
        "    elm 0/2 at ash 0/2 weighed; 1 entry\n"
        "    Missing: 1 weigh-in\n"
    )
    one = run("status", "g1").out
    assert "List of ash: for elm, we (signed on the sheet); for ash, nobody.\n" in one
    assert "List of elm: not signed.\n" in one
    assert "Kickoff: Sun, Sep 13, 2026, 2:30 PM CDT (first scheduled" in run("status", "g2").out
    assert run("status", "g3").err.startswith("no game g3 in this ledger\n")


def test_a_step_is_missing_only_when_it_was_due(
    run: Run, made: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(WEIGHED)
    monkeypatch.setattr("ledger.actions.status.now_utc", lambda: "2026-09-05T14:00:00.000Z")
    assert "Missing" not in games(run("status").out)
    assert "Still to do: 1 book mark, 4 signatures" in run("status", "g1").out
    assert "Still to do: 1 weigh-in." in run("status", "g2").out


def test_a_game_that_is_off_says_so_everywhere(run: Run, made: Make) -> None:
    made(OFF)
    told = "g2 is called off, by so, Sat, Sep 12, 2026, 8:00 AM CDT.\n"
    assert "    elm at ash: called off by so; 1 entry\n" in run("status").out
    assert run("status", "g2").out.endswith(told)
    ran = run("eligibility", "g2", "--format", "json")
    assert (json.loads(ran.out), ran.err.startswith(told)) == ([], True)
    assert run("eligibility", "g2").out.startswith(told)
    assert "called off" not in run("eligibility", "g1").out


def test_every_rule_with_a_step_has_words_for_what_is_missing() -> None:
    for rule in steps():
        assert missing({rule: 1}).startswith("1 ")


def test_closing_the_season_lists_what_is_open_and_asks(
    run: Run, made: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    ledger = made(WEIGHED, SIGNED, CASE)
    before = ledger.read_bytes()
    close = ["record", "season_close", "--by", "rg"]
    ran = run(*close)
    assert ran.status == 2
    assert ran.err == (
        "Still open in this season:\n"
        "  – 1 case open: c1. See weighbook case list.\n"
        "  – 1 game not weighed and not called off: g2. See weighbook status.\n"
        "  – 3 signatures missing: the list of ash in g1, by ash; the list of elm in g1,\n"
        "    by ash; the list of elm in g1, by elm. See weighbook findings --rule\n"
        "    list_not_countersigned.\n"
        "  – Plays of 1 team not counted: ash in g1. See weighbook findings --rule\n"
        "    plays_not_counted.\n"
        "nothing was recorded: this is still open\n"
        "To go on all the same, add: --despite "
        "case_open,game_not_weighed,list_not_countersigned,plays_not_counted\n"
    )
    monkeypatch.setattr("sys.stdin", Terminal("\n"))
    assert run(*close).status == 130
    assert ledger.read_bytes() == before
    monkeypatch.setattr("sys.stdin", Terminal("y\n"))
    assert run(*close).status == 0
    close_event = events_in(ledger)[-1]
    assert close_event.kind == "season_close"
    assert run("status").out.splitlines()[1].startswith("The season was closed ")
    run("record", "withdraw", "--target", close_event.id, "--by", "rg", "--reason", "too early")
    assert "The season was closed" not in run("status").out
