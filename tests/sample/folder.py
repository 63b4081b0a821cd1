"""The season as the files of sample_season/, by name and bytes."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from tests.sample.people import DIVISIONS, LOOSE, OFFICIALS, ROSTERS, TEAMS
from tests.sample.rosters import WITHOUT_A_TEAM
from tests.sample.schedule import ALLOWANCE_FROM, ALLOWANCE_LB, fixtures
from tests.sample.season import day_files
from tests.sample.sheet import COLUMNS

LEAGUE = f"""\
# The rules of an invented league for one season. Every default is written out, so that
# a league sees what it can choose; a rule that changes in mid-season is a statement instead.

[league]
name = "Invented Meadows Youth Football League"
season = "2026"
time_zone = "America/Chicago"        # times in the day files are local, without an offset

[weigh_in]
opens_before_kickoff_min = 30
first_to_weigh = "visitors"          # visitors, home, either
attempts = 1                         # one weigh, as equipped
late_players = "second_half"         # weighed before the half: the second half; after it: none
check_weight_lb = 10.0
scale_division_lb = 0.5
max_weighmasters_per_team = 2
entered_late_after_min = 30
declared_over_may_skip_scale = false # who is listed over is weighed all the same
training_valid_days = 400            # weighmasters train each August; 0: not asked for
limit_allowance = [                  # children grow: two pounds more from October on
    {{from = "{ALLOWANCE_FROM}", lb = {ALLOWANCE_LB}}},
]

[plays]
minimum = 10                         # for everybody who may play, late children too

[reviews]                            # who may rule, in order
roster = ["association_president", "division_president"]
other = ["site_official", "head_official", "division_president"]
protest_within_hours = 48
decide_within_days = 7

[card]                               # our own words on the weighmasters' card
gear = [
    "Jersey, pants, shoulder pads, and the pads for hips, tail, thighs and knees.",
    "Gloves, collar and braces, if the child will play in them.",
    "The child hands over the helmet. Look it over; do not weigh it.",
]
shoes = [
    "The shoes the child will play in.",
    "Cleats half an inch at most, no metal showing.",
]
stripe = [
    "Tape one inch wide and level, front and back, in a color that stands out.",
]
distance = [
    "Coaches stay 50 ft away from the scale.",
    "Board members may stand there, unless they coach one of these teams.",
]

[privacy]
keep_personal_until = "2027-06-30"   # names and notes go after the next season's sign-up
"""


def _text(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> bytes:
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def _players() -> list[dict[str, object]]:
    rows: list[dict[str, object]] = [
        {"player": child.id, "team": team, "number": number, "name": child.name}
        for team, roster in ROSTERS.items()
        for number, child in sorted(roster.items())
    ]
    loose = (LOOSE[name] for name in WITHOUT_A_TEAM)
    rows += [{"player": child.id, "name": child.name} for child in loose]
    return rows


def _tables() -> dict[str, bytes]:
    games = [
        {
            "game": game.id,
            "division": game.division,
            "kickoff": game.kickoff.isoformat(timespec="minutes"),
            "site": game.site,
            "home": game.home,
            "visitor": game.visitor,
        }
        for game in fixtures()
    ]
    teams = [
        {
            "team": team.id,
            "association": team.association,
            "division": team.division,
            "name": team.name,
        }
        for team in TEAMS.values()
    ]
    divisions = [
        {"division": row.id, "name": row.name, "carrier_limit_lb": row.carrier_limit_lb}
        for row in DIVISIONS
    ]
    return {
        "divisions.csv": _text(("division", "name", "carrier_limit_lb"), divisions),
        "teams.csv": _text(("team", "association", "division", "name"), teams),
        "players.csv": _text(("player", "team", "number", "name"), _players()),
        "officials.csv": _text(
            ("official", "name", "role", "team"), [role._asdict() for role in OFFICIALS]
        ),
        "games.csv": _text(("game", "division", "kickoff", "site", "home", "visitor"), games),
    }


def season_folder() -> dict[str, bytes]:
    """Every file that the generator writes, by its path in the folder."""
    files = {"league.toml": LEAGUE.encode(), **_tables()}
    for name, lines in day_files().items():
        rows = [line.row() for line in lines]
        used = [column for column in COLUMNS if any(column in row for row in rows)]
        files[f"days/{name}"] = _text(used, rows)
    return files
