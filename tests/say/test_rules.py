"""A league's rules in plain words, with a mark on those left at the default."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.errors import ReportError
from ledger.say.limits import carrier_limit, since_when
from ledger.say.rules import Rule, league_rules
from ledger.say.words import join
from tests.short_season import short_season
from tests.stored import stored_events


def rules(**chosen: Any) -> dict[str, Rule]:
    stored = stored_events(short_season("14:40 close ash", **chosen))
    title, shown = league_rules([one.event for one in stored], Engine(stored))
    assert title == "Invented League, season 2026"
    return {rule.key or rule.sentence: rule for rule in shown}


def test_a_league_that_chose_nothing_has_every_default() -> None:
    shown = rules().values()
    choices = [rule for rule in shown if rule.key not in (None, "divisions.csv")]
    assert len(choices) == 15
    assert all(rule.is_default for rule in choices)
    assert all(rule.is_default is None for rule in shown if rule not in choices)


CHOSEN: list[tuple[dict[str, Any], str, str]] = [
    ({"opens_before_kickoff_min": 1}, "weigh_in.opens_before_kickoff_min", "1 minute before"),
    ({"first_to_weigh": "home"}, "weigh_in.first_to_weigh", "Home players are weighed first"),
    ({"first_to_weigh": "either"}, "weigh_in.first_to_weigh", "Either team"),
    ({"attempts": 2}, "weigh_in.attempts", "weighed twice"),
    ({"late_players": "none"}, "weigh_in.late_players", "weighed late does not play"),
    ({"late_players": "whole_game"}, "weigh_in.late_players", "plays from then on"),
    ({"declared_over_may_skip_scale": True}, "weigh_in.declared_over_may_skip_scale", "need not"),
    ({"max_weighmasters_per_team": 1}, "weigh_in.max_weighmasters_per_team", "1 weighmaster per"),
    ({"entered_late_after_min": 5}, "weigh_in.entered_late_after_min", "more than 5 minutes"),
    ({"plays": {"minimum": 12}}, "plays", "at least 12 plays"),
    (
        {
            "plays": {
                "by_squad_size": [
                    {"up_to": 25, "minimum": 10},
                    {"up_to": 30, "minimum": 8},
                    {"minimum": 6},
                ]
            }
        },
        "plays",
        "(up to 25: 10; 26 to 30: 8; 31 or more: 6)",
    ),
    ({"plays": {"by_squad_size": [{"minimum": 6}]}}, "plays", "(any number: 6)"),
    ({"privacy": {"keep_personal_until": "2027-06-30"}}, "privacy.keep_personal_until",
     "until Jun 30, 2027, and then erased"),
]  # fmt: skip


@pytest.mark.parametrize(("chosen", "key", "words"), CHOSEN)
def test_a_choice_in_words(chosen: dict[str, Any], key: str, words: str) -> None:
    rule = rules(**chosen)[key]
    assert words in rule.sentence
    assert not rule.is_default


def test_reviewers_and_deadlines() -> None:
    reviews = {
        "roster": ["registrar"],
        "other": ["site_official", "head_official"],
        "protest_within_hours": 24,
        "decide_within_days": 1,
    }
    shown = rules(reviews=reviews)
    assert shown["reviews.roster"].sentence == "Questions about a roster go to the registrar."
    other = "All other questions go to the site official, then the head official."
    assert shown["reviews.other"].sentence == other
    assert "24 hours" in shown["reviews.protest_within_hours"].sentence
    assert "1 day of" in shown["reviews.decide_within_days"].sentence


def test_limits_by_division_and_date() -> None:
    assert rules()["weigh_in.limit_allowance"].is_default
    steps = [{"from": "2026-10-01", "clb": 200}, {"from": "2026-11-01", "clb": 350}]
    assert rules(limit_allowance=steps)["divisions.csv"].sentence == (
        "One: a ball carrier is not over 100 lb (45.4 kg); from Oct 1, 2026, 102 lb"
        " (46.3 kg); from Nov 1, 2026, 103.5 lb (46.9 kg)."
    )


# The tolerance: NIST Handbook 44 (2023) 2.20 Table 6, class III, maintenance; quoted.
@pytest.mark.parametrize(
    ("check", "division", "words"),
    [
        (1000, 50, "from 9.5 lb to 10.5 lb: 1 division of 0.5 lb"),
        (5000, 10, "from 49.9 lb to 50.1 lb: 1 division of 0.1 lb"),
        (5010, 10, "from 49.9 lb to 50.3 lb: 2 divisions of 0.1 lb"),
        (15000, 5, "from 149.85 lb to 150.15 lb: 3 divisions of 0.05 lb"),
        (50000, 5, "from 499.75 lb to 500.25 lb: 5 divisions of 0.05 lb"),
    ],
)
def test_the_tolerance_of_the_check(check: int, division: int, words: str) -> None:
    rule = rules(check_weight_clb=check, scale_division_clb=division)["weigh_in.check_weight_lb"]
    assert words in rule.sentence
    assert rule.is_default == ((check, division) == (1000, 50))


def test_a_ledger_without_a_league_says_so() -> None:
    with pytest.raises(ReportError):
        league_rules([], Engine([]))


def test_small_words() -> None:
    assert join([]) == ""
    assert join(["a", "b", "c"], "or") == "a, b or c"


def test_the_limit_in_force_comes_first_whatever_the_order_of_dates() -> None:
    steps = [{"from": "2026-11-01", "clb": 350}, {"from": "2026-10-01", "clb": 200}]
    league = {"weigh_in": {"limit_allowance": steps}}
    days = ("2026-09-30", "2026-10-01", "2026-11-01")
    assert [carrier_limit("One", 10000, league, today) for today in days] == [
        (
            "One: a ball carrier is not over 100 lb (45.4 kg); from Oct 1, 2026, 102 lb (46.3 kg);"
            " from Nov 1, 2026, 103.5 lb (46.9 kg)."
        ),
        (
            "One: since Oct 1, 2026, a ball carrier is not over 102 lb (46.3 kg); from Nov 1, 2026,"
            " 103.5 lb (46.9 kg). Before: 100 lb. Marks made then still stand."
        ),
        (
            "One: since Nov 1, 2026, a ball carrier is not over 103.5 lb (46.9 kg). Before: 102 lb."
            " Marks made then still stand."
        ),
    ]


def test_since_when_a_limit_holds() -> None:
    """The limit of the day comes in; a league that changed none has nothing to say."""
    steps = [{"from": "2026-11-01", "clb": 350}, {"from": "2026-10-01", "clb": 200}]
    league = {"weigh_in": {"limit_allowance": steps}}
    assert since_when(10000, league, "2026-09-30") == ""
    assert since_when(10200, league, "2026-10-31") == "102 lb since Oct 1, 2026 (before: 100 lb)."
    assert since_when(10350, league, "2026-11-01") == "103.5 lb since Nov 1, 2026 (before: 102 lb)."
