"""A league whose minimum goes by the players dressed, and where nobody who comes late plays.

Source: a table of minimum plays, 16 to 25 players: 10; 26 to 30: 8; 31 to 35: 6 (read in a
secondary source, a question-and-answer page about 15 years old). The number of players is that of
those who may play, so that a late child, who may not here, does not lower the minimum.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.profiles.tiny_league import Answers, TinyLeague

RULES = """
[weigh_in]
late_players = "none"

[plays]
by_squad_size = [{up_to = 25, minimum = 10}, {up_to = 30, minimum = 8}, {minimum = 6}]
"""
TABLE = {16: 10, 25: 10, 26: 8, 30: 8, 31: 6, 35: 6}


def played(folder: Path, on_time: int, late: int = 0, plays: int = 8) -> Answers:
    """Ash with so many on time and late; number 1 has so many plays, half of them in each half."""
    squads = {"ash": on_time + late, "elm": 1}
    season = TinyLeague(RULES, "100", {"g1": "2026-09-05 10:00"}, squads=squads)
    season.station("g1", "100")
    for number in range(1, on_time + 1):
        season.weigh(f"09:{30 + number // 3}:{20 * (number % 3):02d}", "g1", "ash", number)
    season.say("09:45", "close", "g1", team="ash", by="we")
    for number in range(on_time + 1, on_time + late + 1):
        season.say("10:10", "late_weigh", "g1", team="ash", number=number, by="we", value="ok")
    for half in (1, 2):
        count = plays // 2
        season.say(f"1{half}:00", "plays", "g1", team="ash", number=1, by="pc", half=half,
                   count=count)  # fmt: skip
    return season.answers(folder)


@pytest.mark.parametrize(("squad", "required"), TABLE.items())
def test_the_table(tmp_path: Path, squad: int, required: int) -> None:
    row = played(tmp_path / "season", squad).row("exposure", "g1", "ash-1")
    assert row["required"] == required
    assert row["recorded"] == 8
    assert row["short"] == max(0, required - 8)
    assert row["status"] == ("short" if required == 10 else "met")


def test_a_late_player_does_not_play_and_does_not_count(tmp_path: Path) -> None:
    answers = played(tmp_path / "season", on_time=25, late=1)
    late = answers.row("eligibility", "g1", "ash-26")
    assert (late["may_play"], late["may_carry"], late["basis"]) == ("none", "no", "late_scale")
    assert answers.row("exposure", "g1", "ash-26")["status"] == "not_required"
    assert answers.row("exposure", "g1", "ash-1")["required"] == 10
    assert answers.findings("plays_short")
