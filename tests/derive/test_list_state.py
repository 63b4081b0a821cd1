"""What is open about a list before it is signed: each tiny morning beside what it must give."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.list_state import ListState, read_list_state
from ledger.derive.scope import read_game
from tests.review.cases_of import opens, season
from tests.tiny import LEAGUE, says

A1 = {"game": "g1", "team": "ash", "player": "a1"}
A2 = {"game": "g1", "team": "ash", "player": "a2"}
RULING = {"at": "2026-09-05T09:30", "case": "c1", "by": "so", "value": "decided"}
HALF = says("half", at="2026-09-05T10:40", game="g1", half=1, by="ho")
AFTER = {"at": "2026-09-05T10:50"}
WEIGHED = says("weigh", **A1, value="ok")


def state_of(tmp_path: Path, *lines: Mapping[str, str], league: str = LEAGUE) -> ListState:
    with season(tmp_path, *lines, league=league) as store:
        return read_list_state(Engine(read_game(store, "g1")), "g1", "ash")


@pytest.mark.parametrize(
    ("lines", "open_for"),
    [
        ([], {"a2": "missing"}),
        ([says("list", **A2, reason="absent")], {}),
        # Crossed off by mistake, and never weighed.
        ([says("list", **A2, reason="absent"), says("strike_off", **A2)], {"a2": "missing"}),
        ([says("weigh", **A2, value="ok")], {}),
        ([says("weigh", **A2, value="over")], {"a2": "over"}),
        ([says("weigh", **A2, value="over"), says("list", **A2, reason="over")], {}),
        # Over, but the line is for another reason.
        ([says("weigh", **A2, value="over"), says("list", **A2, reason="other")], {"a2": "over"}),
        ([says("weigh", **A2, value="no_scale")], {"a2": "undecided"}),
        ([HALF, says("late_weigh", **(A2 | AFTER), value="ok")], {"a2": "not_playing"}),
        # The line, struck off, says so already.
        (
            [HALF, says("list", **A2, reason="absent"), says("strike_off", **(A2 | AFTER)),
             says("late_weigh", **(A2 | AFTER), value="ok")],
            {},
        ),
        (
            [says("weigh", **A2, value="ok"), opens(),
             says("ruling", **(A2 | RULING), may_carry="no")],
            {"a2": "ruled"},
        ),
        (
            [says("weigh", **A2, value="over"), opens(),
             says("ruling", **(A2 | RULING), may_carry="yes")],
            {},
        ),
        (
            [says("weigh", **A2, value="ok"), opens(),
             says("ruling", **(A2 | RULING), may_play="none")],
            {"a2": "ruled"},
        ),
    ],
)  # fmt: skip
def test_what_is_open(
    lines: list[Mapping[str, str]], open_for: dict[str, str], tmp_path: Path
) -> None:
    state = state_of(tmp_path, WEIGHED, *lines)
    assert {one.row["player"]: one.open_for for one in state.open} == open_for


def test_the_counts_of_the_strip(tmp_path: Path) -> None:
    """u1 is on no roster: weighed all the same, and counted beside the roster."""
    other = {"game": "g1", "team": "ash", "player": "u1"}
    state = state_of(
        tmp_path,
        says("station", game="g1", reading="10.5", limit=100),
        says("weigh", **A1, value="over", by="we"),
        says("list", **A2, reason="absent"),
        says("weigh", **other, value="ok", by="wa"),
        says("close", game="g1", team="ash"),
    )
    assert (state.roster, state.weighed, state.over, state.listed_only) == (2, 1, 1, 1)
    assert [one.row["player"] for one in state.strangers] == ["u1"]
    assert state.weighed_by == ("we", "wa")
    assert [row["reading_clb"] for row in state.stations] == [1050]
    assert state.is_closed


def test_who_was_weighed_is_not_listed_only_whatever_line_stands(tmp_path: Path) -> None:
    """“Absent: 1” counted a player who was weighed and whose line was not struck off."""
    hurt = says("list", **A2, reason="injured")
    late = state_of(tmp_path / "1", says("list", **A1, reason="absent"), WEIGHED, hurt)
    assert (late.weighed, late.listed_only) == (1, 1)
    struck = state_of(tmp_path / "2", WEIGHED, hurt, says("strike_off", **A2, reason="injured"))
    assert struck.listed_only == 0


def test_over_by_the_book_is_over(tmp_path: Path) -> None:
    g2 = {"game": "g2", "team": "ash", "player": "a1", "at": "2026-09-12T08:40"}
    with season(
        tmp_path,
        says("initial", **A1, value="over", initials="IL"),
        says("weigh", **g2, value="no_scale"),
    ) as store:
        state = read_list_state(Engine(read_game(store, "g2")), "g2", "ash")
    assert (state.weighed, state.over) == (0, 1)  # came, with no scale to be weighed on
    assert [(one.row["player"], one.open_for) for one in state.open] == [
        ("a1", "over"), ("a2", "missing"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("lines", "is_before"),
    [
        ([], True),
        ([says("list", **A1, reason="over")], True),
        ([WEIGHED], False),
        ([says("weigh", game="g1", team="elm", player="e1", value="ok")], True),
        # Nobody of this team came: all are listed, and the list can be signed.
        (
            [says("weigh", game="g1", team="elm", player="e1", value="ok"),
             says("list", **A1, reason="absent"), says("list", **A2, reason="absent")],
            False,
        ),
    ],
)  # fmt: skip
def test_before_the_weigh_in(
    lines: list[Mapping[str, str]], is_before: bool, tmp_path: Path
) -> None:
    assert state_of(tmp_path, *lines).is_before_weigh_in is is_before


@pytest.mark.parametrize(
    ("lines", "may_still"),
    [
        ([], True),
        ([HALF], False),
        ([says("half", at="2026-09-05T11:40", game="g1", half=2, by="ho")], False),
        ([says("plays", **A1, half=2, count=3, by="pc")], False),
        ([says("weigh", **A2, value="over")], False),
    ],
)
def test_who_may_still_be_weighed(
    lines: list[Mapping[str, str]], may_still: bool, tmp_path: Path
) -> None:
    state = state_of(tmp_path, WEIGHED, says("list", **A2, reason="absent"), *lines)
    assert [one.may_still_weigh for one in state.players] == [False, may_still]
