"""A league whose home team weighs first, and whose limit grows with the season.

Sources: the order, Old Colony Youth Football League, instructions for weigh-in supervisors 2013
("home team first"); its limits by week are not in the excerpt, so the steps are those of another
sport: VHSL wrestling, 2007-08 text, one pound from January 1, one more from February 1, two in all.
Both read. The dates are local, and the latest step counts.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.profiles.tiny_league import TinyLeague

RULES = """
[weigh_in]
first_to_weigh = "home"
limit_allowance = [{from = "2027-01-01", lb = 1}, {from = "2027-02-01", lb = 2}]
"""
KICKOFFS = {
    "december": "2026-12-31 10:00",
    "january": "2027-01-01 10:00",
    "last-of-january": "2027-01-31 23:30",
    "february": "2027-02-01 10:00",
}
DUE = {"december": "80", "january": "81", "last-of-january": "81", "february": "82"}


def league() -> TinyLeague:
    return TinyLeague(RULES, "80", KICKOFFS, season="2026-27")


@pytest.mark.parametrize("game", KICKOFFS)
@pytest.mark.parametrize("limit", ["80", "81", "82"])
def test_the_limit_grows_with_the_season(tmp_path: Path, game: str, limit: str) -> None:
    season = league()
    season.station(game, limit)
    found = season.answers(tmp_path / "season").findings("limit_wrong")
    assert found == ([] if limit == DUE[game] else [("limit_wrong", game)])


def test_home_before_visitors_is_in_turn(tmp_path: Path) -> None:
    season = league()
    season.station("january", "81")
    for at, team in (("09:30", "ash"), ("09:31", "ash"), ("09:32", "elm"), ("09:33", "elm")):
        season.weigh(at, "january", team, 1 if at in ("09:30", "09:32") else 2)
    answers = season.answers(tmp_path / "season")
    assert answers.findings("weighed_out_of_turn", "limit_wrong") == []
    assert answers.row("eligibility", "january", "ash-1")["may_carry"] == "yes"


def test_visitors_before_home_is_out_of_turn(tmp_path: Path) -> None:
    season = league()
    season.station("january", "81")
    season.weigh("09:30", "january", "elm", 1)
    season.weigh("09:31", "january", "ash", 1)
    found = season.answers(tmp_path / "season").findings("weighed_out_of_turn")
    assert found == [("weighed_out_of_turn", "january")]
