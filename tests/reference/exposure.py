"""Exposure to the minimum-plays rule, a function for each rule."""

from __future__ import annotations

from typing import Any

from tests.reference.eligibility import everyone, half_end, may_play_and_carry, number
from tests.reference.state import Game, Season
from tests.reference.statements import Statement, latest_entered


def may_play_on_the_day(season: Season, game: Game, team: str, player: str) -> str:
    """ "may_play here heeds only rulings with `at` not after the game's half 2 (all, where half 2
    was not stated), so that Monday's ruling does not undo Saturday's plays."
    """
    end = half_end(season, game, 2)

    def is_heard(ruling: Statement) -> bool:
        return end is None or ruling.at <= end.at

    return may_play_and_carry(season, game, team, player, is_heard)[0]


def minimum_for(season: Season, squad: int) -> int:
    """ "The minimum for the team's count of players": one minimum, or by_squad_size, whose "steps
    rise, only the last has no up_to".
    """
    plays = season.league["plays"]
    for step in plays.get("by_squad_size", []):
        if "up_to" not in step or squad <= step["up_to"]:
            return int(step["minimum"])
    return int(plays["minimum"])


def standing_count(season: Season, game: Game, team: str, player: str, half: int) -> int | None:
    """ "Plays by this player in this half so far (cumulative; the latest entered stands)." """
    stands = latest_entered(
        said for said in season.about(game, team, player, "plays") if said.data["half"] == half
    )
    return None if stands is None else int(stands.data["count"])


def recorded_plays(season: Season, game: Game, team: str, player: str, may_play: str) -> int | None:
    """ "The sum over halves of the latest entered plays; for may_play second_half only halves 2
    and 3; 0 where the team has plays lines but the player none; null where the team has none."
    """
    if not season.for_team(game, team, "plays"):
        return None
    halves = (2, 3) if may_play == "second_half" else (1, 2, 3)
    return sum(standing_count(season, game, team, player, half) or 0 for half in halves)


def status_of(may_play: str, is_excused: bool, required: int, recorded: int | None) -> str:
    """ "`not_required` (may_play none), else `excused`, else `uncounted` (the team has no plays
    line in the game), else `met`, else `short`."
    """
    if may_play == "none":
        return "not_required"
    if is_excused:
        return "excused"
    if recorded is None:
        return "uncounted"
    return "met" if recorded >= required else "short"


def short_of(status: str, required: int, recorded: int | None) -> int | None:
    """ "max(0, required - recorded) for met, short and excused on a counted team; else null." """
    if recorded is None or status not in ("met", "short", "excused"):
        return None
    return max(0, required - recorded)


def exposure_of_game(season: Season, game: Game) -> list[dict[str, Any]]:
    """The rows of one game that is not off: "the same rows, ordered ... as above"."""
    rows = everyone(season, game)
    may_plays = {row: may_play_on_the_day(season, game, *row) for row in rows}
    required = {
        # "the team's count of players with may_play other than none; the same on all rows"
        team: minimum_for(
            season, sum(1 for row in rows if row[0] == team and may_plays[row] != "none")
        )
        for team in game.teams
    }
    answer = []
    for team, player in rows:
        may_play = may_plays[team, player]
        recorded = recorded_plays(season, game, team, player, may_play)
        is_excused = bool(season.about(game, team, player, "excuse"))
        status = status_of(may_play, is_excused, required[team], recorded)
        answer.append(
            {
                "game": game.id,
                "team": team,
                "player": player,
                "number": number(season, game, team, player),
                "may_play": may_play,
                "required": required[team],
                "recorded": recorded,
                "short": short_of(status, required[team], recorded),
                "status": status,
            }
        )
    return answer
