"""The set-up of a random season: every choice of the league's rules, and small tables."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from tests.random_seasons.chain import DAY, HOUR, SECOND, Draft, random_text, utc

ZONES = ("America/Chicago", "America/St_Johns", "UTC", "Asia/Kolkata", "Pacific/Kiritimati")
# check weight and division in hundredths of a pound: n = 20, 500, just over 500, 2,000, over it,
# 4,000, over it
SCALES = (
    (1000, 50),
    (1000, 50),
    (25000, 50),
    (25050, 50),
    (2000, 1),
    (2001, 1),
    (20000, 5),
    (20005, 5),
)
ALLOWANCES: tuple[list[dict[str, Any]], ...] = (
    [],
    [{"from": "2026-10-01", "clb": 200}],
    [{"from": "2026-10-01", "clb": 200}, {"from": "2026-09-05", "clb": 50}],
    [{"from": "2026-09-05", "clb": 300}, {"from": "2026-10-01", "clb": 100}],
)
ROLES = (
    "weighmaster",
    "coach",
    "play_counter",
    "site_official",
    "head_official",
    "registrar",
    "association_president",
    "division_president",
    "board_member",
)
TEAM_ROLES = ("weighmaster", "coach")
# ids that text order and number order, upper and lower case, put differently
TEAM_IDS = ("Elm", "ash", "b.10", "b.9", "B-1", "oak_2")
FIRST_SATURDAY = 1_788_620_400_000  # 2026-09-05T15:00:00Z


@dataclass(frozen=True)
class GameRow:
    id: str
    division: str
    kickoff: int
    home: str
    visitor: str

    @property
    def teams(self) -> tuple[str, str]:
        return (self.home, self.visitor)

    def opponent(self, team: str) -> str:
        return self.visitor if team == self.home else self.home


@dataclass
class Tables:
    """What was drawn. `rows` are the drafts; `late_rows` are to be loaded in the middle."""

    league: dict[str, Any]
    limits: dict[str, int]
    division_of: dict[str, str]
    players: dict[str, list[str]] = field(default_factory=dict)
    numbers: dict[tuple[str, str], int] = field(default_factory=dict)
    loose_players: list[str] = field(default_factory=list)
    games: list[GameRow] = field(default_factory=list)
    rows: list[Draft] = field(default_factory=list)
    late_rows: list[Draft] = field(default_factory=list)
    late_games: dict[str, GameRow] = field(default_factory=dict)

    def carrier_limit(self, game: GameRow) -> int:
        """As the league would read it; the moved kickoff is not looked at."""
        zone = ZoneInfo(self.league["time_zone"])
        day = datetime.fromtimestamp(game.kickoff / SECOND, zone).date().isoformat()
        steps = sorted(
            (step["from"], step["clb"]) for step in self.league["weigh_in"]["limit_allowance"]
        )
        reached = [clb for start, clb in steps if start <= day]
        return self.limits[game.division] + (reached[-1] if reached else 0)


def row(kind: str, data: dict[str, Any], **top: str | None) -> Draft:
    given = {key: value for key, value in top.items() if value is not None}
    return {"chain": "office", "kind": kind, "data": data} | given


def league_rules(rng: Random) -> dict[str, Any]:
    check_clb, division_clb = rng.choice(SCALES)
    plays: dict[str, Any] = {"minimum": rng.choice((1, 3, 3, 5, 10))}
    if rng.random() < 0.35:
        plays = {
            "by_squad_size": [
                {"up_to": 2, "minimum": 6},
                {"up_to": 4, "minimum": 4},
                {"minimum": 2},
            ]
        }
    rules: dict[str, Any] = {
        "name": "Invented League",
        "season": "2026",
        "time_zone": rng.choice(ZONES),
        "weigh_in": {
            "opens_before_kickoff_min": rng.choice((30, 30, 30, 20, 45)),
            "first_to_weigh": rng.choice(("visitors", "visitors", "home", "either")),
            "attempts": rng.choice((1, 1, 2)),
            "late_players": rng.choice(("second_half", "second_half", "whole_game", "none")),
            "check_weight_clb": check_clb,
            "scale_division_clb": division_clb,
            "max_weighmasters_per_team": rng.choice((1, 2, 2)),
            "entered_late_after_min": rng.choice((30, 30, 0, 120)),
            "declared_over_may_skip_scale": rng.random() < 0.35,
            "limit_allowance": rng.choice(ALLOWANCES),
        },
        "plays": plays,
        "reviews": {
            "roster": rng.choice((["association_president", "division_president"], ["registrar"])),
            "other": rng.choice(
                (
                    ["site_official", "head_official", "division_president"],
                    ["division_president"],
                    [],
                )
            ),
            "protest_within_hours": rng.choice((48, 48, 24)),
            "decide_within_days": rng.choice((7, 7, 1)),
        },
        "privacy": {"keep_personal_until": rng.choice(("", "2027-06-30"))},
    }
    days = rng.choice((None, None, 0, 1, 7, 14, 365))
    if days is not None:  # an older ledger's row lacks it
        rules["weigh_in"]["training_valid_days"] = days
    return rules


def kickoff(rng: Random, zone: str) -> int:
    """Saturdays with many ties, and moments around a local midnight that an allowance begins at."""
    if rng.random() < 0.7:
        return FIRST_SATURDAY + rng.choice((0, 0, 7, 7, 14)) * DAY + rng.choice((0, 0, 2)) * HOUR
    day = rng.choice((date(2026, 9, 5), date(2026, 10, 1), date(2026, 10, 1)))
    midnight = datetime.combine(day, time(), ZoneInfo(zone)).astimezone(UTC)
    return int(midnight.timestamp()) * SECOND + rng.choice((-HOUR, -1, 0, 0, 1))


def add_players(rng: Random, tables: Tables) -> None:
    ids = [f"{rng.choice('pPq')}{rng.choice(('', '-', '.'))}{n}" for n in range(40)]
    for team in tables.division_of:
        numbers = rng.sample(range(13), 7)
        tables.players[team] = []
        for _ in range(rng.randint(3, 7)):
            player = ids.pop()
            number = numbers.pop()
            draft = row("player", {"number": number, **name(rng)}, team=team, player=player)
            if rng.random() < 0.03:
                tables.late_rows.append(draft)
            else:
                tables.players[team].append(player)
                tables.numbers[team, player] = number
                tables.rows.append(draft)
    for _ in range(rng.choice((0, 1))):
        player = ids.pop()
        tables.loose_players.append(player)
        tables.rows.append(row("player", name(rng), player=player))


def add_officials(rng: Random, tables: Tables) -> None:
    """One or more weighmasters and a coach for each team, some of them with a second hat, and the
    officials who belong to no team.
    """
    lines: list[tuple[str, str, str | None]] = []
    teams = list(tables.division_of)
    for n, team in enumerate(teams):
        for m in range(rng.choice((1, 2, 2, 3))):
            lines.append((f"w{n}{m}", "weighmaster", team))
            second = rng.random()
            if second < 0.06:
                lines.append((f"w{n}{m}", "coach", rng.choice(teams)))
            elif second < 0.12:
                lines.append((f"w{n}{m}", "weighmaster", rng.choice(teams)))
            elif second < 0.35:
                lines.append((f"w{n}{m}", rng.choice(ROLES[6:]), rng.choice((None, *teams))))
                if second < 0.17:
                    lines.append((f"w{n}{m}", "coach", rng.choice(teams)))
        lines.append((f"c{n}", "coach", team))
    for role in ROLES[2:]:
        lines.append((f"x-{role[:4]}", role, None))
    for official, role, on_team in dict.fromkeys(lines):
        data = {"official": official, "role": role, **name(rng)}
        draft = row("official", data, team=on_team)
        late = rng.random() < 0.02 and not any(
            other["data"].get("official") == official for other in tables.rows
        )
        (tables.late_rows if late else tables.rows).append(draft)


def name(rng: Random) -> dict[str, Any]:
    return {"digests": {"name": random_text(rng, 32)}}


def draw_tables(rng: Random) -> Tables:
    league = league_rules(rng)
    divisions = ["d1", "d2"][: rng.choice((1, 1, 2))]
    teams = rng.sample(TEAM_IDS, 4 if len(divisions) == 2 else rng.choice((2, 2, 3, 4)))
    half = len(teams) // len(divisions)
    tables = Tables(
        league=league,
        limits={division: rng.choice((10000, 8550)) for division in divisions},
        division_of={
            team: divisions[n // half] if len(divisions) == 2 else "d1"
            for n, team in enumerate(teams)
        },
    )
    tables.rows.append(row("league", league))
    for division, limit in tables.limits.items():
        data = {"division": division, "name": f"Division {division}", "carrier_limit_clb": limit}
        tables.rows.append(row("division", data))
    for team, division in tables.division_of.items():
        tables.rows.append(row("team", {"division": division, "name": f"Team {team}"}, team=team))
    add_players(rng, tables)
    add_officials(rng, tables)
    for n in rng.sample(range(1, 12), rng.choice((1, 1, 2, 2, 3, 4, 5))):
        division = rng.choice(divisions)
        home, visitor = rng.sample([t for t in teams if tables.division_of[t] == division], 2)
        game = GameRow(f"g{n}", division, kickoff(rng, league["time_zone"]), home, visitor)
        data = {
            "division": division,
            "kickoff": utc(game.kickoff),
            "home": home,
            "visitor": visitor,
        }
        draft = row("game", data, game=game.id)
        if tables.games and rng.random() < 0.08:
            tables.late_rows.append(draft)
            tables.late_games[game.id] = game
        else:
            tables.games.append(game)
            tables.rows.append(draft)
    return tables
