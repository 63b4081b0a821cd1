"""Which findings a question is about. The question is about a2 of ash in g1."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.review.cases import look_up_case
from tests.review.cases_of import opens, season
from tests.tiny import says

LATE = {"game": "g1", "at": "2026-09-05T08:00", "entered": "2026-09-05T12:00"}
"""Four hours late where the league allows half an hour: the finding entered_late."""


def found(tmp_path: Path, *lines: dict[str, str], **about: object) -> list[tuple[str, list[str]]]:
    """The rules found, and the refs of the statements that show it."""
    with season(tmp_path, *lines, opens(**about)) as store:
        refs = {one.id: one.event.data.get("ref", "") for one in store.events()}
        findings = look_up_case(store, "c1").findings
        return [(row["rule"], [refs[event] for event in row["events"]]) for row in findings]


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        pytest.param({}, ["ours", "team", "scale"], id="one child"),
        pytest.param({"player": None}, ["ours", "theirs", "team", "scale"], id="a team"),
        pytest.param(
            {"player": None, "team": None},
            ["ours", "theirs", "team", "scale", "other-side"],
            id="a game",
        ),
    ],
)
def test_late_entries_about_the_child_the_team_and_the_game(
    tmp_path: Path, about: dict[str, None], expected: list[str]
) -> None:
    lines = (
        says("stripe", team="ash", player="a2", ref="ours", **LATE),
        says("stripe", team="ash", player="a1", ref="theirs", **LATE),
        says("at_scale", team="ash", by="wa", ref="team", **LATE),
        says("station", reading=10, limit=100, ref="scale", **LATE),
        says("at_scale", team="elm", ref="other-side", **LATE),
        says("at_scale", team="ash", by="wa", ref="elsewhere", **(LATE | {"game": "g2"})),
    )
    late = [refs for rule, refs in found(tmp_path, *lines, **about) if rule == "entered_late"]
    assert late == [[one] for one in expected]


def test_another_game_that_was_read_in_part_shows_no_finding(tmp_path: Path) -> None:
    """a2 is over in g2, listed and striped. Of g2 a case about g1 reads the weigh alone, as if
    nobody had listed the child."""
    in_g2 = {"at": "2026-09-12T09:40", "game": "g2", "team": "ash", "player": "a2"}
    lines = (
        says("weigh", value="over", **in_g2),
        says("list", reason="over", **in_g2),
        says("stripe", **in_g2),
    )
    assert {rule for rule, _ in found(tmp_path, *lines)} == {"case_overdue"}


def test_of_another_case_only_what_names_the_child(tmp_path: Path) -> None:
    """Two rulings from outside in c0: one names a2, the other a1. c1 and c2 are overdue."""
    other = {"case": "c0", "by": "ap", "value": "denied", "game": "g1", "team": "ash"}
    lines = (
        opens("c0", player=None),
        opens("c2"),
        says("ruling", at="2026-09-05T09:10", player="a2", ref="ours", **other),
        says("ruling", at="2026-09-05T09:11", player="a1", ref="theirs", **other),
        says("concern", at="2026-10-05T09:00", game="g2", reason="cleats"),
    )
    shown = found(tmp_path, *lines)
    assert ("ruling_without_authority", ["ours"]) in shown
    assert ("ruling_without_authority", ["theirs"]) not in shown
    assert [rule for rule, _ in shown].count("case_overdue") == 1
