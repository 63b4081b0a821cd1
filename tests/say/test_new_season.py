"""The texts of a new season's folder."""

from __future__ import annotations

from datetime import UTC, datetime

from ledger.record.league import read_league
from ledger.say.new_season import folder_texts, points_in
from ledger.say.practice import practice_season

SEASON = practice_season(datetime(2026, 9, 5, 13, 0, tzinfo=UTC), "America/Chicago")


def test_the_league_has_the_name_the_season_and_the_zone_that_were_given() -> None:
    league, faults = read_league(folder_texts(SEASON)["league.toml"])
    assert faults == []
    assert league is not None
    given = {key: league.data[key] for key in ("name", "season", "time_zone")}
    assert given == {
        "name": "Practice League (invented)", "season": "2026", "time_zone": "America/Chicago",
    }  # fmt: skip


def test_a_point_to_settle_goes_on_below_its_text() -> None:
    text = folder_texts(SEASON, ["a row that " + "says much " * 10, "another row"])["to_settle.txt"]
    *_, first, rest, second = text.splitlines()
    assert first.startswith("- a row that says")
    assert rest.startswith(("  says ", "  much "))
    assert second == "- another row"
    assert points_in(text) == 2
    assert "to_settle.txt" not in folder_texts(SEASON)
