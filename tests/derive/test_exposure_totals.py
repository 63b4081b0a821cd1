"""The season's totals: how often short, by how much, how often late."""

from __future__ import annotations

from typing import Any

from ledger.derive.engine import Engine
from tests.short_season import short_season
from tests.stored import stored_events

SEASON = """
05/14:40 weigh g1 ash a1 ok
05/15:20 late_weigh g1 ash a2 ok
05/14:45 weigh g1 elm e1 ok wa
05/15:30 plays g1 ash a1 half=1 count=10 pc
05/16:10 plays g1 ash a2 half=2 count=4 pc
12/14:40 weigh g2 ash a1 ok
12/14:41 weigh g2 ash a2 ok
12/15:30 plays g2 ash a1 half=1 count=7 pc
12/15:31 plays g2 ash a2 half=1 count=1 pc
12/15:40 excuse g2 ash a2 injured
12/15:20 late_weigh g2 elm e2 over wa
12/15:21 half g2 half=1
12/15:22 late_weigh g2 elm e1 ok wa
"""


def totals(by: str) -> list[dict[str, Any]]:
    events = short_season(SEASON)
    stored = stored_events(events)
    return Engine(stored).answer(f"exposure_by_{by}").dicts()


def test_by_team() -> None:
    ash, elm = totals("team")
    assert ash == {
        "team": "ash",
        "games": 2,
        "due": 4,
        "met": 1,
        "short": 2,
        "excused": 1,
        "uncounted": 0,
        "plays_short": 6 + 3,
        "worst_short": 6,
        "late": 1,
        "late_and_short": 1,
    }
    assert (elm["games"], elm["due"], elm["uncounted"], elm["late"]) == (2, 2, 2, 2)


def test_by_player() -> None:
    rows = {row["player"]: row for row in totals("player")}
    assert list(rows) == ["a1", "a2", "e1", "e2"]
    a1, a2, e1, e2 = rows.values()
    assert (a1["due"], a1["met"], a1["short"], a1["plays_short"]) == (2, 1, 1, 3)
    assert (a2["due"], a2["short"], a2["excused"], a2["late_and_short"]) == (2, 1, 1, 1)
    assert (e1["due"], e1["uncounted"], e1["late"]) == (1, 1, 1)  # after the half: not due
    assert (e2["due"], e2["number"]) == (1, 2)


def test_by_team_is_the_sum_of_its_players() -> None:
    players = totals("player")
    for team in totals("team"):
        mine = [row for row in players if row["team"] == team["team"]]
        for key in ("due", "met", "short", "excused", "uncounted", "plays_short", "late"):
            assert team[key] == sum(row[key] for row in mine), key
        assert team["worst_short"] == max(row["worst_short"] for row in mine)
