"""A day's games, as the first screen shows them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from ledger.field.games import Games
from ledger.record.times import local_date, now_utc
from ledger.say.clock import weekday
from ledger.store.league import league_data

Data = dict[str, Any]


def day_of(games: Games, date: str | None, officials: Collection[str]) -> Data:
    """The games of this local date, and what these officials do in them.

    Without a date: today's; if there are none, those of the next day with games, else of the last.
    """
    zone, now = games.zone, now_utc()
    dates = _dates(games)
    days = sorted(set(dates.values()))
    chosen = date or _day_shown_first(days, local_date(now, zone))
    own = [one for one in games.schedule.values() if dates[one.game] == chosen]
    own.sort(key=lambda one: (one.kickoff, one.game))
    return {
        "date": chosen,
        "day": weekday(chosen),
        "now": now,
        "time_zone": zone,
        "league": league_data(games.store).get("name", ""),
        "days": days,
        "games": [_game(games, one.game, officials) for one in own],
    }


def games_shown_first(games: Games) -> list[str]:
    """The games of the day that is shown without asking for one."""
    dates = _dates(games)
    day = _day_shown_first(sorted(set(dates.values())), local_date(now_utc(), games.zone))
    return [game for game, date in dates.items() if date == day]


def _dates(games: Games) -> dict[str, str]:
    return {one.game: local_date(one.kickoff, games.zone) for one in games.schedule.values()}


def _day_shown_first(days: list[str], today: str) -> str:
    later = [day for day in days if day >= today]
    return later[0] if later else days[-1] if days else today


def _game(games: Games, game: str, officials: Collection[str]) -> Data:
    head = games.head(game)
    teams = {one["side"]: {"team": one["team"], "name": one["name"]} for one in head["teams"]}
    other = {teams["home"]["team"]: teams["visitor"]["team"]}
    other |= {theirs: ours for ours, theirs in other.items()}
    same = ("division", "division_name", "kickoff", "kickoff_local", "site", "is_off")
    own = ("official", "role", "team", "is_assigned")
    return {
        "game": game,
        **{key: head[key] for key in same},
        "limit_lb": head["limit_clb"] / 100,
        **teams,
        "yours": [
            {key: one[key] for key in own}
            | {"weighs": other.get(one["team"]) if one["role"] == "weighmaster" else None}
            for one in head["people"]
            if one["official"] in officials
        ],
        "roster": {one["team"]: len(one["players"]) for one in head["teams"]},
        "closed": games.open(game).closed(),
    }
