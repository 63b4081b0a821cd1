"""The first screen's day: which day, whose games, what you do there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.field import days
from ledger.field.days import day_of
from ledger.field.games import Games
from ledger.store.opening import open_store
from tests.tiny import TEXTS, day, load, says, write_folder

GAMES = TEXTS["games"] + "g0,d1,2026-09-05T08:00,Green,elm,ash\n"
LINES = [
    says("assign", game="g1", team="ash", value="we", by="rg"),
    says("close", game="g1", team="elm", by="wa", ref="c1"),
    says("close", game="g1", team="ash", ref="c2"),
    says("withdraw", target="c2", reason="too early"),
    says("game_change", game="g2", kickoff="2026-09-13T00:30", reason="heat", by="so", ref="m1"),
    says("game_change", game="g2", site="Red", reason="heat", by="so",
         entered="2026-09-05T08:30"),
    says("game_change", game="g2", site="Blue", reason="heat", by="so",
         entered="2026-09-05T08:20"),
]  # fmt: skip


@pytest.fixture
def games(tmp_path: Path) -> Iterator[Games]:
    path = tmp_path / "days.weighbook"
    load(path, write_folder(tmp_path / "season", games=GAMES, day=day(*LINES)))
    store = open_store(path)
    yield Games(store, "office")
    store.close()


def at(now: str, games: Games, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setattr(days, "now_utc", lambda: now)
    return day_of(games, None, [])


@pytest.mark.parametrize(
    ("now", "date"),
    [
        ("2026-08-01T12:00:00.000Z", "2026-09-05"),  # the next
        ("2026-09-06T04:59:00.000Z", "2026-09-05"),  # still Saturday in Chicago
        ("2026-09-06T05:00:00.000Z", "2026-09-13"),
        ("2026-12-01T12:00:00.000Z", "2026-09-13"),  # the last
    ],
)
def test_the_day_is_the_leagues(
    games: Games, monkeypatch: pytest.MonkeyPatch, now: str, date: str
) -> None:
    found = at(now, games, monkeypatch)
    assert (found["date"], found["now"], found["time_zone"]) == (date, now, "America/Chicago")
    assert found["days"] == ["2026-09-05", "2026-09-13"]


def test_a_day_that_is_asked_for_is_shown_even_without_games(games: Games) -> None:
    found = day_of(games, "2026-09-06", [])
    assert (found["day"], found["games"]) == ("Sunday, September 6", [])


def test_games_in_order_of_kickoff_with_what_is_yours(games: Games) -> None:
    found = day_of(games, "2026-09-05", ["we", "ca", "so"])
    assert [game["game"] for game in found["games"]] == ["g0", "g1"]
    game = found["games"][1]
    assert game["home"] == {"team": "ash", "name": "Ash Trees"}
    assert game["visitor"] == {"team": "elm", "name": "Elm Trees"}
    assert (game["limit_lb"], game["kickoff_local"]) == (100, "10:00 AM CDT")
    assert game["roster"] == {"ash": 2, "elm": 2}
    assert game["closed"] == ["elm"]
    yours = [tuple(one[key] for key in ("official", "role", "team", "weighs", "is_assigned"))
             for one in game["yours"]]  # fmt: skip
    assert yours == [
        ("ca", "coach", "ash", None, False),
        ("we", "weighmaster", "ash", "elm", True),
        ("we", "weighmaster", "elm", "ash", False),
        ("so", "site_official", None, None, False),
    ]


def test_the_change_entered_last_counts_for_each_field(games: Games) -> None:
    (game,) = day_of(games, "2026-09-13", [])["games"]
    assert (game["kickoff"], game["site"]) == ("2026-09-13T05:30:00.000Z", "Red")


def test_an_assignment_that_comes_later_is_in_the_head(games: Games) -> None:
    from ledger.actions.entries import record

    before = games.head("g0")
    assert not any(one["is_assigned"] for one in before["people"])
    entry = {"kind": "assign", "game": "g0", "team": "ash", "value": "wa", "by": "rg"}
    (event,) = record(games.store, [entry]).event_ids
    (news,) = games.follow()
    assert (news.game, news.position) == ("g0", 1)
    assert [o["official"] for o in games.head("g0")["people"] if o["is_assigned"]] == ["wa"]
    back = {"kind": "withdraw", "target": event, "by": "rg", "reason": "typed the wrong one"}
    record(games.store, [back])
    games.follow()
    assert games.head("g0") == before
