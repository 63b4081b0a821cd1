"""A random season with corrections of its tables at the end of its chains.

They arrive last and say that they were entered, and recorded, at any moment of the season: so an
answer as of a moment, or known at one, lies before some and after others, and two of the same row
differ in order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random
from typing import Any

from tests.random_seasons.chain import (
    DAY,
    HOUR,
    SET_UP,
    Draft,
    Event,
    milliseconds,
    random_text,
    seal,
    unseal,
    utc,
)
from tests.random_seasons.tables import ALLOWANCES, ROLES, TEAM_ROLES

Row = dict[str, Any]
MOST = 8


def corrected(events: Sequence[Event], seed: int) -> list[Event]:
    """The season with one to eight corrections, the same for the same arguments."""
    rng = Random(f"corrections {seed}")
    drafts = unseal(events)
    rows = [event for event in events if event["kind"] in SET_UP]
    teams = sorted(event["team"] for event in rows if event["kind"] == "team")
    chains = sorted({event["chain"] for event in events})
    moments = [event["recorded"] for event in events]
    moments += [event["entered"] for event in events if "entered" in event]
    few = rng.sample(rows, min(3, len(rows)))
    for _ in range(rng.randint(1, MOST)):
        row = rng.choice(few if rng.random() < 0.5 else rows)
        draft: Draft = {key: row[key] for key in ("kind", "game", "team", "player") if key in row}
        draft |= CHANGES[row["kind"]](rng, row, teams)
        draft["data"] |= {"corrects": f"{row['chain']}:{row['seq']}"}
        draft["data"] |= {"digests": {"reason": random_text(rng, 32)}}
        draft |= {"chain": rng.choice(chains), "by": "registrar", "entered": rng.choice(moments)}
        drafts.append(draft | {"recorded": rng.choice(moments)})
    return seal(drafts, Random(seed))


def _league(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    rules = row["data"]
    weigh_in = rules["weigh_in"] | {
        "attempts": rng.choice((1, 2)),
        "late_players": rng.choice(("second_half", "whole_game", "none")),
        "first_to_weigh": rng.choice(("visitors", "home", "either")),
        "limit_allowance": rng.choice(ALLOWANCES),
        "training_valid_days": rng.choice((0, 7, 365)),
        "declared_over_may_skip_scale": rng.random() < 0.5,
    }
    reviews = rules["reviews"] | {"roster": rng.choice((["registrar"], ["division_president"]))}
    plays = {"minimum": rng.choice((1, 4, 8))}
    return {"data": rules | {"weigh_in": weigh_in, "reviews": reviews, "plays": plays}}


def _division(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    return {"data": row["data"] | {"carrier_limit_clb": rng.choice((8550, 10000, 10200))}}


def _team(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    return {"data": row["data"] | {"name": "Corrected", "association": "grove"}}


def _player(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    number = {"number": rng.randint(0, 13)} if "number" in row["data"] else {}
    return {"data": row["data"] | number}


def _official(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    role = rng.choice(ROLES) if rng.random() < 0.7 else row["data"]["role"]
    team = rng.choice(teams) if role in TEAM_ROLES else None
    data = {"data": row["data"] | {"role": role}}
    return data | ({"team": team} if team is not None else {})


def _game(rng: Random, row: Row, teams: Sequence[str]) -> Row:
    moved = milliseconds(row["data"]["kickoff"]) + rng.choice((-7 * DAY, -DAY, -HOUR, HOUR, DAY))
    return {"data": row["data"] | {"kickoff": utc(moved), "site": "Corrected field"}}


CHANGES: dict[str, Callable[[Random, Row, Sequence[str]], Row]] = {
    "league": _league,
    "division": _division,
    "team": _team,
    "player": _player,
    "official": _official,
    "game": _game,
}
