"""weighbook find: names, numbers, parts of ids; a child's name only if asked."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.commands.conftest import Run
from tests.tiny import TEXTS, day, load, says

PLAYERS = TEXTS["players"] + "f1,,,Žofie Łopuch\nf2,elm,12,\n"
LINES = day(
    says("number_change", by="rg", team="ash", player="a1", number=12),
    says("case_open", case="mixed-1", reason="roster", game="g1", team="ash", player="a1"),
    says("game_change", by="rg", game="g2", kickoff="2026-09-13T13:30", reason="rain"),
)


@pytest.fixture
def found(run: Run, folder: Callable[..., Path], tmp_path: Path) -> Callable[..., list[str]]:
    """The ids that `find` shows for a text."""
    load(tmp_path / "season.weighbook", folder(players=PLAYERS, day=LINES))

    def finding(text: str) -> list[str]:
        ran = run("find", text, "--format", "json")
        assert ran.status == 0, ran.err
        return [row["id"] for row in json.loads(ran.out)]

    return finding


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("zofie", ["f1"]),
        ("lopuch ŽOF", ["f1"]),
        ("12", ["a1", "f2"]),
        ("#12", ["a1", "f2"]),
        ("ash 12", ["a1"]),
        ("Ash Trees #2", ["a2"]),
        ("thistle", ["wa"]),
        ("trees", ["ash", "elm", "g1", "g2"]),
        ("elm at ash", ["g1", "g2"]),
        ("9/13", ["g2"]),
        ("mixed", ["mixed-1"]),
        ("xyz", []),
        ("?!", []),
    ],
)
def test_what_is_found(found: Callable[..., list[str]], text: str, ids: list[str]) -> None:
    assert found(text) == ids


def test_a_childs_name_is_shown_only_if_asked(run: Run, found: Callable[..., list[str]]) -> None:
    assert "Quillfeather" not in run("find", "quill").out
    assert "Pip Quillfeather  ash 12" in run("find", "quill", "--names").out
    assert "Ana Thistlewood" in run("find", "thistle").out
    assert "Sun, Sep 13, 2026, 1:30 PM CDT" in run("find", "g2").out
    assert run("find", "xyz").out == "Nothing found for 'xyz'.\n"
