"""What a page must know of a game beside its statements: rules, rosters, marks, people.

Read by index and put together here, as `sql/` has it; a test holds it against the answers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import timedelta
from typing import Any, NamedTuple

from ledger.actions.officials import read_officials
from ledger.actions.schedule import Scheduled, gone_of, schedule
from ledger.chain.event import Event
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN
from ledger.record.known import Known
from ledger.record.times import format_utc, local_date, moment_of
from ledger.say.clock import local_clock, weekday
from ledger.say.names import ERASED, Names, initials_of
from ledger.store.league import league_data
from ledger.store.snapshot import ByIndex
from ledger.store.store import Store, Stored

Data = dict[str, Any]
_TOLERANCE = ((500, 1), (2000, 2), (4000, 3))
"""Load in divisions up to, and the divisions a reading may be off (source: NIST Handbook 44 (2023)
2.20, Table 6 and T.N.3.2, as sql/facts/check_weight.sql has it)."""
_MOST_OFF = 5


class Mark(NamedTuple):
    """A player's mark in the book."""

    value: str
    initials: str
    game: str


def read_head(store: Store, game: Scheduled) -> Data:
    """The head of a game, with children's names."""
    league = league_data(store)
    zone = str(league["time_zone"])
    rules = league["weigh_in"]
    known = Known(ByIndex(store))
    rosters = {team: known.roster(team, game.game) for team in game.sides}
    players = sorted({player for roster in rosters.values() for player in roster})
    marks = marks_before(store, game, players)
    teams = _rows(store, "team", team=game.sides, outside_games=["yes"])
    divisions = _rows(store, "division", subject=[game.division])
    check, division = rules["check_weight_clb"], rules["scale_division_clb"]
    opens = moment_of(game.kickoff) - timedelta(minutes=rules["opens_before_kickoff_min"])
    names = names_of(store, players)
    return {
        "division": game.division,
        "division_name": divisions[0].data["name"],
        "kickoff": game.kickoff,
        "kickoff_local": local_clock(game.kickoff, zone),
        "day": weekday(local_date(game.kickoff, zone)),
        "site": game.site,
        "is_off": game.is_off,
        "limit_clb": divisions[0].data["carrier_limit_clb"]
        + _allowance(rules["limit_allowance"], local_date(game.kickoff, zone)),
        "check_clb": check,
        "check_weight_lb": check / 100,
        "tolerance_clb": division * _most_off(check, division),
        "opens": format_utc(opens),
        "first_to_weigh": rules["first_to_weigh"],
        "late_players": rules["late_players"],
        "attempts": rules["attempts"],
        "minimum": _minimum(league["plays"], game.sides),
        "by_squad_size": league["plays"].get("by_squad_size"),
        "declared_over_may_skip_scale": rules["declared_over_may_skip_scale"],
        "card": league.get("card", {}),
        "time_zone": zone,
        "teams": [
            {
                "team": team,
                "name": next((one.data["name"] for one in teams if one.team == team), team),
                "side": side,
                "players": _players(rosters[team], marks, names),
            }
            for side, team in zip(("home", "visitor"), game.sides, strict=True)
        ],
        "shared_numbers": {team: _shared(rosters[team]) for team in game.sides},
        "people": _people(store, game),
    }


def marks_before(store: Store, game: Scheduled, players: Iterable[str]) -> dict[str, Mark]:
    """The players' marks in the book of the game's division, from games with an earlier kickoff."""
    read = list(store.events(kind=["initial"], player=sorted(players)))
    gone = gone_of(store, read)
    games = schedule(store, {str(stored.event.game) for stored in read})
    first: dict[str, tuple[str, Stored]] = {}
    for stored in read:
        event = stored.event
        where, player = games[str(event.game)], str(event.player)
        if event.id in gone or where.division != game.division or where.kickoff >= game.kickoff:
            continue
        place = event.at or "", stored
        first[player] = min(first.get(player, place), place)
    return {
        player: Mark(event.data["value"], event.data["initials"], str(event.game))
        for player, (_, stored) in first.items()
        for event in [stored.event]
    }


def names_of(store: Store, players: list[str]) -> dict[str, str]:
    """The names of these children, by id, as far as there are any."""
    rows = [stored.event for stored in store.events(kind=BRINGS_IN["player"], player=players)]
    names = Names(store, rows)
    found = {player: names.of(player) for player in players}
    return {player: name for player, name in found.items() if name not in (player, ERASED)}


def _people(store: Store, game: Scheduled) -> list[Data]:
    """Who has a role in this game, or is assigned to it; each role once."""
    officials = read_officials(store)
    there: set[tuple[str, str, str | None]] = set()
    to_confirm: set[tuple[str, str, str | None]] = set()
    for official, held in officials.roles.items():
        for one in held:
            if one.game in (None, game.game) and one.team in (None, *game.sides):
                there.add((official, one.role, one.team))
                to_confirm |= {(official, one.role, one.team)} if one.to_confirm else set()
    assigned = {
        (official, team)
        for official, places in officials.assigned.items()
        for where, team in places
        if where == game.game
    }
    there |= {(official, "weighmaster", team) for official, team in assigned}
    names = officials.names
    return [
        {
            "official": official,
            "name": names.get(official, official),
            "initials": initials_of(names.get(official, official)),
            "role": role,
            "team": team,
            "is_assigned": role == "weighmaster" and (official, team) in assigned,
            "to_confirm": (official, role, team) in to_confirm,
        }
        for official, role, team in sorted(there, key=lambda one: (one[2] or "~", one[1], one[0]))
    ]


def _players(
    roster: Mapping[str, int | None], marks: Mapping[str, Mark], names: Mapping[str, str]
) -> list[Data]:
    numbered = sorted(roster.items(), key=lambda one: (one[1] is None, one[1] or 0, one[0]))
    return [
        {
            "player": player,
            "number": number,
            "name": names.get(player),
            "mark": marks[player]._asdict() if player in marks else None,
        }
        for player, number in numbered
    ]


def _shared(roster: Mapping[str, int | None]) -> list[int]:
    counts = Counter(number for number in roster.values() if number is not None)
    return sorted(number for number, count in counts.items() if count > 1)


def _minimum(plays: Mapping[str, Any], sides: tuple[str, str]) -> Data | None:
    """None if it goes by the size of the squad."""
    return dict.fromkeys(sides, plays["minimum"]) if "minimum" in plays else None


def _allowance(steps: Iterable[Mapping[str, Any]], date: str) -> int:
    due = [(step["from"], step["clb"]) for step in steps if step["from"] <= date]
    return int(max(due)[1]) if due else 0


def _most_off(check: int, division: int) -> int:
    return next((off for load, off in _TOLERANCE if check <= load * division), _MOST_OFF)


def _rows(store: Store, kind: str, **where: Any) -> list[Event]:
    return rows_that_count(stored.event for stored in store.events(kind=[kind], **where))
