"""Tiny seasons written as short text, for tests that teach.

The set-up is always the same: division d1 with a limit of 100 lb; teams ash and elm; a1 and a2
(numbers 1, 2) on ash, e1 and e2 on elm, u1 on no roster; games g1 (5 September, 15:00 UTC) and g2
(12 September), both with ash at home and elm visiting. Officials: wa, wa2 (weighmasters of ash), we
(of elm), ca (coach of ash), pc (play counter), so (site official), ap and dp (association's and
division president), rg (registrar).

A line is: [DAY/]HH:MM[:SS.mmm] KIND WORD... of September 2026. A word that is a game, a team, a
player or an official fills that column (left out: game g1, official we); COLUMN=WORD fills another;
any other word is the kind's value or reason. `entered` and `recorded` are times too (left out:
`at`, and July 2026, rising). Lines are numbered from 1; `target` names a line. Without `chain=` a
line is in office, so that its id is "office:LINE"; the set-up is in a chain of its own, recorded in
July. `others=tent:2` makes a countersignature name that many events of tent.
"""

from __future__ import annotations

from random import Random
from typing import Any

from tests.random_seasons.chain import Draft, Event, seal
from tests.random_seasons.tables import row

TEAMS = {"ash": ("a1", "a2"), "elm": ("e1", "e2")}
OFFICIALS = {
    "wa": ("weighmaster", "ash"),
    "wa2": ("weighmaster", "ash"),
    "we": ("weighmaster", "elm"),
    "ca": ("coach", "ash"),
    "pc": ("play_counter", None),
    "so": ("site_official", None),
    "ap": ("association_president", None),
    "dp": ("division_president", None),
    "rg": ("registrar", None),
}
GAMES = {"g1": "2026-09-05T15:00:00.000Z", "g2": "2026-09-12T15:00:00.000Z"}
PLAYERS = ("a1", "a2", "e1", "e2", "u1")
WITH_VALUE = ("weigh", "late_weigh", "initial", "ruling", "appoint")
WITHOUT_GAME = (
    "roster_add",
    "roster_drop",
    "number_change",
    "enter_player",
    "appoint",
    "trained",
    "withdraw",
    "season_close",
    "case_open",
    "case_close",
    "ruling",
)
TRAINING = "training_valid_days"  # left out unless given, as in an older ledger's row
WHOLE_NUMBERS = ("half", "count", "number", "reading_clb", "limit_clb")


def short_season(text: str, **rules: Any) -> list[Event]:
    """The season of these lines; `rules` are keys of weigh_in, `plays` or `reviews`."""
    drafts = set_up(rules)
    begin = len(drafts)
    for line in text.strip().splitlines():
        drafts.append(_statement(line.split(), begin))
    return seal(drafts, Random(0))


def set_up(rules: dict[str, Any]) -> list[Draft]:
    weigh_in = {
        "opens_before_kickoff_min": 30,
        "first_to_weigh": "visitors",
        "attempts": 1,
        "late_players": "second_half",
        "check_weight_clb": 1000,
        "scale_division_clb": 50,
        "max_weighmasters_per_team": 2,
        "entered_late_after_min": 30,
        "declared_over_may_skip_scale": False,
        "limit_allowance": [],
    }
    league = {
        "name": "Invented League",
        "season": "2026",
        "time_zone": "America/Chicago",
        "weigh_in": weigh_in,
        "plays": {"minimum": 10},
        "reviews": {
            "roster": ["association_president", "division_president"],
            "other": ["site_official", "head_official", "division_president"],
            "protest_within_hours": 48,
            "decide_within_days": 7,
        },
        "privacy": {"keep_personal_until": ""},
    }
    for key, value in rules.items():
        (weigh_in if key in weigh_in or key == TRAINING else league)[key] = value
    division = {"division": "d1", "name": "One", "carrier_limit_clb": 10000}
    rows = [row("league", league), row("division", division)]
    for team, players in TEAMS.items():
        rows.append(row("team", {"division": "d1", "name": f"Team {team}"}, team=team))
        for number, player in enumerate(players, start=1):
            rows.append(row("player", {"number": number}, team=team, player=player))
    rows.append(row("player", {}, player="u1"))
    for official, (role, team_of_it) in OFFICIALS.items():
        rows.append(row("official", {"official": official, "role": role}, team=team_of_it))
    for game, kickoff in GAMES.items():
        data = {"division": "d1", "kickoff": kickoff, "home": "ash", "visitor": "elm"}
        rows.append(row("game", data, game=game))
    return [draft | {"chain": "tables"} for draft in rows]


def when(text: str) -> str:
    day, _, clock = text.rpartition("/")
    clock += ":00.000"[len(clock) - 5 :] if len(clock) < 12 else ""
    return f"2026-09-{day or '05'}T{clock}Z"


def _statement(words: list[str], begin: int) -> Draft:
    at, kind = when(words[0]), words[1]
    draft: Draft = {"chain": "office", "kind": kind, "at": at, "entered": at, "by": "we"}
    if kind not in WITHOUT_GAME:
        draft["game"] = "g1"
    data: dict[str, Any] = {}
    for word in words[2:]:
        column, _, given = word.rpartition("=")
        if column in ("by", "game", "team", "player", "chain"):
            draft[column] = given
        elif column in ("entered", "recorded"):
            draft[column] = when(given)
        elif column == "others":
            chain, _, size = given.partition(":")
            data["others"] = {chain: {"root": "00" * 32, "size": int(size)}}
        elif column == "target":
            data["target"] = begin + int(given) - 1
        elif column:
            data[column] = int(given) if column in WHOLE_NUMBERS else given
        elif word in OFFICIALS:
            draft["by"] = word
        elif word in GAMES or word in TEAMS or word in PLAYERS:
            draft["game" if word in GAMES else "team" if word in TEAMS else "player"] = word
        else:
            data["value" if kind in WITH_VALUE else "reason"] = word
    if kind == "initial":
        data.setdefault("initials", "QX")
    return draft | {"data": data}
