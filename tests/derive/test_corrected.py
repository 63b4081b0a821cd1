"""Which answers differ between two seasons."""

from __future__ import annotations

from ledger.derive.corrected import AnswersChanged, Changed, compare_answers
from tests.short_season import short_season
from tests.stored import stored_events


def compared(before: str, after: str) -> AnswersChanged:
    one, other = (stored_events(short_season(text)) for text in (before, after))
    return compare_answers(one, other)


def test_a_site_alone_is_a_change_of_the_game() -> None:
    found = compared("", "01/12:00 game_change g1 site=Green reason=x by=rg")
    assert found.games == (Changed("g1", None, None, None, {"site": None}, {"site": "Green"}),)


def test_a_finding_of_another_rule_is_another_finding() -> None:
    """About the same player: first the stripe is missing, then only the line on the list."""
    over = "14:40 weigh ash a1 over\n"
    found = compared(over + "14:45 list ash a1 over wa", over + "14:45 stripe ash a1")
    assert [(row["rule"], row["player"]) for row in found.gone] == [
        ("noncarrier_not_striped", "a1")
    ]
    assert ("noncarrier_not_listed", "a1") in [(row["rule"], row["player"]) for row in found.new]


def test_a_finding_about_the_other_team_is_another_finding() -> None:
    found = compared("14:05 weigh ash a1 ok", "14:05 weigh elm e1 ok")
    for rows, team in ((found.gone, "ash"), (found.new, "elm")):
        assert [row["team"] for row in rows if row["rule"] == "plays_not_counted"] == [team]
