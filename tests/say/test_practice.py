"""The season to try weighbook with: everything that its words and the procedure name is there."""

from __future__ import annotations

from datetime import UTC, datetime

from ledger.record.fields import ROLES_WITH_TEAM
from ledger.say.practice import FIRST_GAME, practice_season, practice_words

ZONE = "America/Chicago"
NOW = datetime(2026, 9, 5, 13, 1, 30, tzinfo=UTC)


def test_both_sides_have_their_people() -> None:
    season = practice_season(NOW, ZONE)
    held = [(role, team) for _, _, role, team in season.officials]
    assert held == [
        ("weighmaster", "kites"),
        ("weighmaster", "drums"),
        ("coach", "kites"),
        ("coach", "drums"),
        ("play_counter", ""),
        ("site_official", ""),
        ("head_official", ""),
        ("registrar", ""),
        ("division_president", ""),
    ]
    assert all(bool(team) == (role in ROLES_WITH_TEAM) for role, team in held)
    assert len({official for official, *_ in season.officials}) == len(held)
    assert all(len(name.split()) == 2 for _, name, _, _ in season.officials)


def test_the_official_of_its_words_is_there() -> None:
    officials = {row[0] for row in practice_season(NOW, ZONE).officials}
    typed = [words.split() for words in practice_words("practice")]
    named = {words[words.index("--by") + 1] for words in typed if "--by" in words}
    assert named == {"kites-wm1"}
    assert named <= officials


def test_the_first_game_is_half_an_hour_away_at_a_whole_five_minutes() -> None:
    def kickoff(minute: int, second: int) -> str:
        now = datetime(2026, 9, 5, 13, minute, second, tzinfo=UTC)
        game, _, kickoff, *_ = practice_season(now, ZONE).games[0]
        assert game == FIRST_GAME
        return kickoff

    assert kickoff(0, 0) == "2026-09-05 08:30"
    assert kickoff(0, 1) == "2026-09-05 08:35"
    assert kickoff(4, 59) == "2026-09-05 08:35"


def test_the_second_game_is_a_week_later_with_the_sides_changed() -> None:
    season = practice_season(NOW, ZONE)
    assert season.season == "2026"
    assert [(team, division) for team, _, division, _ in season.teams] == [
        ("kites", "practice"),
        ("drums", "practice"),
    ]
    assert {row[0] for row in season.divisions} == {"practice"}
    one, two = season.games
    assert two[2] == "2026-09-12 08:35"
    assert (two[4], two[5]) == (one[5], one[4]) == ("drums", "kites")
