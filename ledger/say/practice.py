"""A small invented season to try weighbook with: two teams, and a game half an hour from now."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from ledger.record.new_season import NewSeason, player_ids
from ledger.record.times import parse_time, zone

FIRST_GAME = "practice-1"
LEAGUE = "Practice League (invented)"
_LIMIT = "95"
_KITES = {
    3: "Posy Paperclip",
    8: "Otto Umbrella",
    12: "Mina Marmalade",
    21: "Rufus Raincoat",
    34: "Ida Inkwell",
    55: "Bo Bicycle",
    64: "Zelda Zipper",
    77: "Lars Lantern",
}
_DRUMS = {
    2: "Clem Cardigan",
    7: "Wanda Waffle",
    12: "Felix Flowerpot",
    20: "Nell Noodle",
    41: "Hugo Hammock",
    58: "Tilly Teapot",
    66: "Gus Galosh",
    80: "Vera Velcro",
}


def practice_season(now: datetime, time_zone: str) -> NewSeason:
    """The season, with a first game half an hour after `now` and a second a week later."""
    numbers = [("kites", one) for one in _KITES.items()] + [("drums", o) for o in _DRUMS.items()]
    players = [
        (player, team, str(number), name)
        for player, (team, (number, name)) in zip(player_ids(len(numbers)), numbers, strict=True)
    ]
    first = now + timedelta(minutes=30)
    kickoffs = [_local(first, time_zone), _local(first + timedelta(days=7), time_zone)]
    return NewSeason(
        LEAGUE,
        kickoffs[0][:4],
        time_zone,
        (("practice", "Practice", _LIMIT),),
        (
            ("kites", "pretend", "practice", "Paper Kites"),
            ("drums", "pretend", "practice", "Tin Drums"),
        ),
        tuple(players),
        (
            ("kites-wm1", "Dot Doorbell", "weighmaster", "kites"),
            ("drums-wm1", "Sid Saucepan", "weighmaster", "drums"),
            ("kites-coach1", "Gil Gumdrop", "coach", "kites"),
            ("drums-coach1", "Bea Button", "coach", "drums"),
            ("counter-1", "Max Muffin", "play_counter", ""),
            ("site-1", "Ada Acorncap", "site_official", ""),
            ("head-1", "Pat Pillowcase", "head_official", ""),
            ("registrar", "Kit Kettle", "registrar", ""),
            ("president", "Lou Ladder", "division_president", ""),
        ),
        (
            (FIRST_GAME, "practice", kickoffs[0], "Pretend Field", "kites", "drums"),
            ("practice-2", "practice", kickoffs[1], "Pretend Field", "drums", "kites"),
        ),
    )


def is_practice(league: Mapping[str, Any]) -> bool:
    """Whether a ledger's league is the invented one: by its name, which no real league has."""
    return league.get("name") == LEAGUE


def practice_words(folder: str) -> list[str]:
    """What to type to play the first game's weigh-in."""
    of_game = f"--game {FIRST_GAME} --by kites-wm1"
    return [
        f"weighbook load {folder}",
        f"weighbook record station {of_game} --reading 10 --limit {_LIMIT}",
        f"weighbook record weigh {of_game} --team drums --number 12 --value ok",
        f"weighbook eligibility {FIRST_GAME}",
    ]


def _local(moment: datetime, time_zone: str) -> str:
    """The next five minutes at or after the moment, as a local time; with an offset if needed."""
    past = timedelta(
        minutes=moment.minute % 5, seconds=moment.second, microseconds=moment.microsecond
    )
    whole = moment - past + (timedelta(minutes=5) if past else timedelta())
    local = whole.astimezone(zone(time_zone))
    text = f"{local:%Y-%m-%d %H:%M}"
    try:
        parse_time(text, zone(time_zone))
    except ValueError:  # this hour comes twice when the clocks go back
        return local.isoformat(" ", timespec="minutes")
    return text
