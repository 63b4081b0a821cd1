"""Exposure to the minimum of plays, on the base season's game g1 and the empty g2."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ledger.derive.engine import Engine
from tests.derive.season_cases import season_of

PLAYS = "at,entered,kind,game,team,player,by,half,count,value,case,reason,may_play\n"


def exposure(lines: str, folder: Path, *, league: str = "", game: str = "g1") -> dict[str, Any]:
    """Rows by player."""
    text = PLAYS + "".join(f"{line}{',' * (12 - line.count(','))}\n" for line in lines.split())
    season = season_of(text.replace("~", " "), folder / "season", league=league)
    return {
        row["player"]: (
            row["may_play"],
            row["required"],
            row["recorded"],
            row["short"],
            row["status"],
        )
        for row in Engine(season.store.events()).answer("exposure", game=game).dicts()
    }


def test_met_and_not_required(tmp_path: Path) -> None:
    rows = exposure("", tmp_path)
    assert rows["a1"] == ("full", 10, 11, 0, "met")
    assert rows["a3"] == ("none", 10, 0, None, "not_required")


def test_the_latest_entered_count_of_a_half_stands_whoever_counted(tmp_path: Path) -> None:
    rows = exposure("2026-09-05T11:39,2026-09-05T11:41,plays,g1,ash,a1,so,2,1", tmp_path)
    assert rows["a1"] == ("full", 10, 7, 3, "short")


def test_overtime_is_a_third_half(tmp_path: Path) -> None:
    rows = exposure("2026-09-05T11:50,,plays,g1,ash,a1,pc,3,2", tmp_path)
    assert rows["a1"] == ("full", 10, 13, 0, "met")


def test_of_a_late_player_only_the_second_half_and_overtime_count(tmp_path: Path) -> None:
    lines = """
2026-09-05T10:20,,late_weigh,g1,ash,a3,we,,,ok
2026-09-05T10:55,,plays,g1,ash,a3,pc,1,9
2026-09-05T11:40,,plays,g1,ash,a3,pc,2,5
2026-09-05T11:50,,plays,g1,ash,a3,pc,3,2
"""
    assert exposure(lines, tmp_path)["a3"] == ("second_half", 10, 7, 3, "short")


def test_without_a_line_of_their_own_players_of_a_counted_team_have_0(tmp_path: Path) -> None:
    rows = exposure("2026-09-05T10:20,,late_weigh,g1,ash,a3,we,,,ok", tmp_path)
    assert rows["a3"] == ("second_half", 10, 0, 10, "short")


def test_a_team_without_plays_lines_is_uncounted(tmp_path: Path) -> None:
    lines = """
2026-09-12T09:31,,weigh,g2,elm,e1,wa,,,ok
2026-09-12T09:32,,weigh,g2,elm,e2,wa,,,ok
2026-09-12T11:40,,excuse,g2,elm,e2,ho,,,,,left
"""
    rows = exposure(lines, tmp_path, game="g2")
    assert rows["e1"] == ("full", 10, None, None, "uncounted")
    assert rows["e2"] == ("full", 10, None, None, "excused")
    assert rows["a1"] == ("none", 10, None, None, "not_required")


def test_an_excused_player_of_a_counted_team_has_the_shortfall(tmp_path: Path) -> None:
    lines = """
2026-09-05T11:40,2026-09-05T11:41,plays,g1,ash,a1,pc,2,1
2026-09-05T11:40,,excuse,g1,ash,a1,ho,,,,,injured
"""
    assert exposure(lines, tmp_path)["a1"] == ("full", 10, 7, 3, "excused")


STEPS = "[plays]\nby_squad_size = [{up_to = 2, minimum = 12}, {minimum = 10}]\n"


def test_the_minimum_goes_by_those_who_may_play(tmp_path: Path) -> None:
    """Two of ash may play: a step applies up to and including its number."""
    rows = exposure("", tmp_path, league=STEPS)
    assert rows["a1"] == ("full", 12, 11, 1, "short")
    assert rows["a3"] == ("none", 12, 0, None, "not_required")


def test_a_third_player_brings_the_last_step(tmp_path: Path) -> None:
    rows = exposure("2026-09-05T10:20,,late_weigh,g1,ash,a3,we,,,ok", tmp_path, league=STEPS)
    assert rows["a1"] == ("full", 10, 11, 0, "met")


@pytest.mark.parametrize(
    ("ruled", "may_play"),
    [("2026-09-05T11:40", "none"), ("2026-09-05T11:40:01", "full")],
)
def test_a_ruling_after_the_game_does_not_undo_its_plays(
    tmp_path: Path, ruled: str, may_play: str
) -> None:
    lines = f"""
2026-09-05T10:30,,case_open,g1,ash,a1,we,,,,c1,weigh
{ruled},2026-09-06T12:00,ruling,g1,ash,a1,ho,,,decided,c1,,none
"""
    assert exposure(lines, tmp_path)["a1"][0] == may_play


def test_where_half_2_was_not_stated_every_ruling_counts(tmp_path: Path) -> None:
    lines = """
2026-09-12T09:31,,weigh,g2,elm,e1,wa,,,ok
2026-09-12T10:30,,case_open,g2,elm,e1,we,,,,c1,weigh
2026-09-14T10:30,,ruling,g2,elm,e1,ho,,,decided,c1,,second_half
"""
    assert exposure(lines, tmp_path, game="g2")["e1"][0] == "second_half"
