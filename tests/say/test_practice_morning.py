"""A morning of the practice, before anyone taps: its people, its game and its book."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

from ledger.record.new_season import NewSeason
from ledger.say.practice_morning import KITE_OVER, NEW, OTHER, TWIN, YOU, Morning, season_of
from ledger.say.practice_scenes import MINUTE, TEN

BEGUN = datetime(2026, 9, 5, 13, 3, tzinfo=UTC)
ONE, TWO = Morning(1, MINUTE, BEGUN), Morning(2, TEN, BEGUN)


def season() -> tuple[NewSeason, dict[str, str]]:
    return season_of([ONE, TWO], "America/Chicago")


def day(one: Morning) -> list[dict[str, str]]:
    _, days = season()
    return list(csv.DictReader(io.StringIO(days[f"days/{one.number:04}.csv"])))


def test_the_book_has_a_mark_of_each_child_who_is_not_new() -> None:
    for kind in ("weigh", "initial"):
        rows = [row for row in day(TWO) if row["kind"] == kind]
        said = {row["player"]: row["value"] for row in rows}
        assert said.keys() == {TWO.player(key) for key in TWO.drums if key not in NEW}
        over = {player for player, value in said.items() if value == "over"}
        assert over == {TWO.player("d12"), TWO.player("d15")}
        assert {(row["by"], row["team"], row["game"]) for row in rows} == {
            (YOU, TWO.team, "practice-2-before")
        }


def test_a_minute_begins_with_a_scale_that_is_checked() -> None:
    stated = [(row["kind"], row["by"]) for row in day(ONE)]
    assert stated == [("at_scale", OTHER), ("station", OTHER)]
    assert [row for row in day(TWO) if row["kind"] == "station"] == []


def test_the_teams_of_each_morning_have_children_of_their_own() -> None:
    made, _ = season()
    sides = {team for team, *_ in made.teams}
    assert sides == {"kites-1", "drums-1", "kites-2", "drums-2"}
    assert {team for _, team, *_ in made.players} == sides | {""}
    assert [player for player, team, *_ in made.players if not team] == [TWO.player(TWIN)]
    assert len(ONE.drums) < len(TWO.drums)
    assert ONE.player(KITE_OVER) in ONE.kites
    assert {"d8", "d12", "d21", "d27"} == set(ONE.drums)


def test_kickoff_is_about_half_an_hour_away_at_a_whole_five_minutes() -> None:
    made, _ = season()
    kickoffs = {game: kickoff for game, _, kickoff, *_ in made.games}
    assert kickoffs["practice-2"] == "2026-09-05T13:30Z"
    assert kickoffs["practice-2-before"] == "2026-08-29T13:03Z"


def test_what_a_child_is_called_by_and_wears() -> None:
    assert TWO.player("unlisted-33") == "unlisted-practice-2-drums-2-33"
    assert [TWO.number_of(TWO.player(key)) for key in ("d12", "k8", TWIN)] == ["12", "8", "41"]
