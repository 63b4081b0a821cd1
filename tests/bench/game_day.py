"""An invented game day: twelve games at once, and what forty devices state of them.

Two weighmasters a game each weigh the other side (weigh and mark, and for a child over the limit
the listing and the stripe), close it, and enter late children; sixteen counters enter plays, a
child a statement. About 3,500 statements in all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from types import MappingProxyType
from zoneinfo import ZoneInfo

from ledger.record.new_season import NewSeason

GAMES, SQUAD, COUNTERS = 12, 23, 16
ZONE = "America/Chicago"
Entry = dict[str, str]
OVER_EVERY, LATE_EVERY = 9, 12


@dataclass(frozen=True)
class Device:
    """A device of one official at one game, and its acts in order: entries without ref and at."""

    official: str
    game: str
    acts: tuple[tuple[Entry, ...], ...]


def player(team: str, place: int) -> str:
    return f"{team}-p{place}"


def write_season(
    folder: Path, kickoff: datetime, squads: Mapping[str, int] = MappingProxyType({})
) -> None:
    """The season folder, with every kickoff at this moment; `squads`: other sizes, by team."""
    local = f"{kickoff.astimezone(ZoneInfo(ZONE)):%Y-%m-%dT%H:%M}"
    teams = [f"t{number:02}" for number in range(2 * GAMES)]
    season = NewSeason(
        "Invented game day",
        local[:4],
        ZONE,
        (("d1", "One", "95"),),
        tuple((team, "pretend", "d1", f"Team {team}") for team in teams),
        tuple(
            (player(team, place), team, str(3 * place + 1), f"Quill Umber{place}")
            for team in teams
            for place in range(squads.get(team, SQUAD))
        ),
        (
            *((f"{team}-wm", f"Wick {team}", "weighmaster", team) for team in teams),
            *((f"{team}-pc", f"Peg {team}", "play_counter", team) for team in teams),
            ("registrar-1", "Reg Ister", "registrar", ""),
        ),
        tuple(
            (f"g{number:02}", "d1", local, f"Field {number}", *teams[2 * number : 2 * number + 2])
            for number in range(GAMES)
        ),
    )
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in season.tables().items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "league.toml").write_text(
        f'[league]\nname = "Invented game day"\nseason = "{local[:4]}"\ntime_zone = "{ZONE}"\n'
    )


def devices() -> Iterator[Device]:
    """The forty devices: two weighmasters a game, then counters."""
    for number in range(GAMES):
        home, visitor = f"t{2 * number:02}", f"t{2 * number + 1:02}"
        for own, weighed in ((home, visitor), (visitor, home)):
            yield Device(f"{own}-wm", f"g{number:02}", tuple(_weigh_in(weighed, own == home)))
    for number in range(COUNTERS):
        own = f"t{number:02}"
        yield Device(f"{own}-pc", f"g{number // 2:02}", tuple(_counts(own)))


def _weigh_in(team: str, is_first: bool) -> Iterator[tuple[Entry, ...]]:
    if is_first:
        yield ({"kind": "station", "reading": "10", "limit": "95"},)
    yield ({"kind": "at_scale", "team": team},)
    late = [place for place in range(SQUAD) if place % LATE_EVERY == LATE_EVERY - 1]
    for place in range(SQUAD):
        about = {"team": team, "player": player(team, place)}
        if place in late:
            yield ({"kind": "list", **about, "reason": "absent"},)
        else:
            yield _weighed("weigh", about, is_over=place % OVER_EVERY == 0)
    yield ({"kind": "close", "team": team},)
    for place in late:
        about = {"team": team, "player": player(team, place)}
        yield (*_weighed("late_weigh", about, is_over=False), {"kind": "strike_off", **about})


def _weighed(kind: str, about: Entry, *, is_over: bool) -> tuple[Entry, ...]:
    value = "over" if is_over else "ok"
    both = ({"kind": kind, **about, "value": value}, {"kind": "initial", **about, "value": value,
            "initials": "QX"})  # fmt: skip
    if not is_over:
        return both
    return (*both, {"kind": "list", **about, "reason": "over"}, {"kind": "stripe", **about})


def _counts(team: str) -> Iterator[tuple[Entry, ...]]:
    for half in ("1", "2"):
        for count in range(2, 8, 2):
            for place in range(SQUAD):
                about = {"team": team, "player": player(team, place)}
                yield ({"kind": "plays", **about, "half": half, "count": str(count)},)


def soon(minutes: float = 20) -> datetime:
    return datetime.now(tz=ZoneInfo("UTC")) + timedelta(minutes=minutes)
