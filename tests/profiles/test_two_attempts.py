"""A league with two opportunities, of which one is enough.

Source: CAYFA, 2019 text, read: limits for ball carriers of 95 lb (8U), 130 lb (10U) and 155 lb
(12U); "two opportunities". That text also asks for the weight once a season only, and has no limit
in 14U: neither can be said in league.toml, where every game has its weigh and every division a
limit.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.profiles.tiny_league import Answers, TinyLeague

RULES = "[weigh_in]\nattempts = 2\n"
LIMITS = {"8U": "95", "10U": "130", "12U": "155"}
KICKOFFS = {"g1": "2026-09-05 10:00"}


def weighed(folder: Path, *values: str) -> Answers:
    season = TinyLeague(RULES, LIMITS["10U"], KICKOFFS)
    season.station("g1", LIMITS["10U"])
    for minute, value in enumerate(values, start=30):
        season.weigh(f"09:{minute}", "g1", "elm", 1, value)
    return season.answers(folder)


@pytest.mark.parametrize(
    ("values", "may_carry", "too_often"),
    [
        (("ok",), "yes", False),
        (("over",), "no", False),
        (("over", "ok"), "yes", False),
        (("ok", "over"), "yes", False),
        (("over", "over"), "no", False),
        (("over", "over", "ok"), "no", True),
        (("no_scale", "over", "ok"), "yes", False),
    ],
)
def test_one_of_two_is_enough(
    tmp_path: Path, values: tuple[str, ...], may_carry: str, too_often: bool
) -> None:
    answers = weighed(tmp_path / "season", *values)
    row = answers.row("eligibility", "g1", "elm-1")
    assert (row["may_play"], row["may_carry"], row["basis"]) == ("full", may_carry, "scale")
    assert bool(answers.findings("weighed_too_often")) == too_often


@pytest.mark.parametrize("division", LIMITS)
@pytest.mark.parametrize("set_to", LIMITS)
def test_limits_by_division(tmp_path: Path, division: str, set_to: str) -> None:
    season = TinyLeague(RULES, LIMITS[division], KICKOFFS)
    season.station("g1", LIMITS[set_to])
    found = season.answers(tmp_path / "season").findings("limit_wrong")
    assert bool(found) == (division != set_to)
