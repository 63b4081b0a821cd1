"""A day's games, as the first screen shows them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from ledger.actions.game_head import day_in_words
from ledger.field.games import Games
from ledger.record.times import local_date, now_utc
from ledger.store.league import league_data

Data = dict[str, Any]


def day_of(games: Games, date: str | None, officials: Collection[str]) -> Data:
    """The games of this local date, and what these officials do in them.

    Without a date: today's; if there are none, those of the next day with games, else of the last.
    """
    zone, now = games.zone, now_utc()
    dates = {one.game: local_date(one.kickoff, zone) for one in games.schedule.values()}
    days = sorted(set(dates.values()))
    today = local_date(now, zone)
    later = [day for day in days if day >= today]
    chosen = date or (later[0] if later else days[-1] if days else today)
    own = [one for one in games.schedule.values() if dates[one.game] == chosen]
    own.sort(key=lambda one: (one.kickoff, one.game))
    return {
        "date": chosen,
        "day": day_in_words(chosen),
        "now": now,
        "time_zone": zone,
        "league": league_data(games.store).get("name", ""),
        "days": days,
        "games": [_game(games, one.game, officials) for one in own],
    }


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
