"""enter of a file that the page saved: what a device could not send."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.commands.conftest import Ran, Run
from tests.tiny import day, events_in, load, says

Folder = Callable[..., Path]
DEVICE = "k3f9x2ab"
OVER = [
    says("weigh", game="g1", team="ash", player="a1", value="over", ref=f"{DEVICE}-1.1"),
    says("list", game="g1", team="ash", player="a1", reason="over", ref=f"{DEVICE}-1.2"),
]
OK = says("weigh", game="g1", team="ash", player="a2", value="ok", ref=f"{DEVICE}-2.1")
BACK = says("withdraw", target=f"{DEVICE}-2.1", reason="wrong tap", ref=f"{DEVICE}-3.1")


@pytest.fixture
def ledger(folder: Folder, tmp_path: Path) -> Path:
    store = tmp_path / "season.weighbook"
    load(store, folder())
    return store


def enter(run: Run, *lines: Mapping[str, str], words: tuple[str, ...] = ("--yes",)) -> Ran:
    Path("waiting.csv").write_text(day(*lines), encoding="utf-8", newline="")
    return run("enter", "waiting.csv", *words)


def refs(ledger: Path) -> list[str]:
    return [event.data["ref"] for event in events_in(ledger) if event.data.get("ref")]


def test_taps_are_recorded_with_their_refs_and_times(run: Run, ledger: Path) -> None:
    ran = enter(run, *OVER, OK, BACK)
    assert ran.status == 0, ran.err
    assert "waiting.csv: 3 taps by we." in ran.out
    assert "Recorded 4 entries" in ran.out
    events = events_in(ledger)[-4:]
    assert refs(ledger) == [line["ref"] for line in (*OVER, OK, BACK)]
    assert {event.at for event in events} == {"2026-09-05T13:40:00.000Z"}
    assert events[-1].data["target"] == events[-2].id


def test_what_the_ledger_has_is_not_recorded_twice(run: Run, ledger: Path) -> None:
    enter(run, *OVER)
    ran = enter(run, *OVER, OK)
    assert ran.status == 0, ran.err
    assert "Recorded 1 entry" in ran.out
    assert "Already recorded: 1 tap." in ran.out
    assert len(refs(ledger)) == len(set(refs(ledger))) == 3


def test_one_tap_that_is_refused_leaves_the_others_alone(run: Run, ledger: Path) -> None:
    unknown = OVER[0] | {"player": "a9"}
    ran = enter(run, unknown, OVER[1], OK)
    assert ran.status == 1
    assert "Lines 2 to 3, not recorded:" in ran.err
    assert "a9" in ran.err
    assert refs(ledger) == [OK["ref"]]


def test_another_content_under_the_same_ref_is_refused(run: Run, ledger: Path) -> None:
    enter(run, OK)
    ran = enter(run, OK | {"value": "over"})
    assert ran.status == 1
    assert "Line 2, not recorded:" in ran.err
    assert refs(ledger) == [OK["ref"]]


def test_words_are_asked_about(run: Run, ledger: Path) -> None:
    asked = OK | {"note": "he weighs 84 lb"}
    assert enter(run, asked).status == 2
    assert refs(ledger) == []
    assert enter(run, asked, words=("--yes", "--note-is-fine")).status == 0


def test_nothing_is_recorded_without_a_yes(
    run: Run, ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("n\n"))
    assert enter(run, OK, words=()).status == 130
    assert refs(ledger) == []


@pytest.mark.parametrize(
    ("lines", "right"),
    [
        ([OK | {"ref": ""}], "ref: found nothing"),
        ([], "has no taps in it"),
    ],
)
def test_a_file_that_is_none_says_so(
    run: Run, ledger: Path, lines: list[dict[str, str]], right: str
) -> None:
    Path("waiting.csv").write_text("at,kind,by,game,team,player,value,ref\r\n", encoding="utf-8")
    if lines:
        Path("waiting.csv").write_text(day(*lines, BACK), encoding="utf-8", newline="")
    ran = run("enter", "waiting.csv", "--yes")
    assert ran.status == 2
    assert right in ran.err


def test_it_says_itself_who_tapped(run: Run, ledger: Path) -> None:
    ran = enter(run, OK, words=("--yes", "--by", "we"))
    assert ran.status == 2
    assert "who tapped" in ran.err
