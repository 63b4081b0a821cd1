"""What a page reads of a game says what the answers say, however it came in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import Any

import orjson
import pytest

from ledger.derive.engine import Engine
from ledger.field.games import Games
from ledger.record.withdrawals import withdrawn
from ledger.store.opening import open_store
from tests.differential import season_for
from tests.random_seasons import Event
from tests.stored import put, store_of, stored_events

SEEDS = 40
Answer = dict[str, Any]


def shown(games: Games, game: str) -> Answer:
    found: Answer = orjson.loads(games.answer(game, after=0, edition=""))
    return found


def followed(events: Sequence[Event], rng: Random) -> Games:
    """The games after the ledger grew by a few pieces while all of them were open."""
    set_up = next((n for n, event in enumerate(events) if "at" in event), len(events))
    cuts = sorted(rng.randint(set_up, len(events)) for _ in range(3))
    store = store_of(events[:set_up])
    games = Games(store, "office")
    there = set_up
    for cut in (*cuts, len(events)):
        for game in games.schedule:
            games.head(game)
        put(store, events[:cut], there=there)
        there = cut
        games.follow()
    return games


def agrees(engine: Engine, games: Games) -> None:
    """The heads and statements of all games against the answers' own tables."""
    rosters = defaultdict[tuple[str, str], dict[str, Any]](dict)
    for row in engine.answer("roster").dicts():
        rosters[row["game"], row["team"]][row["player"]] = row["number"]
    limits = {row["game"]: row["limit_clb"] for row in engine.answer("limit_due").dicts()}
    (check,) = engine.answer("check_weight").dicts()
    marks = sorted(engine.answer("mark").dicts(), key=lambda row: row["happened_rank"])
    roles = engine.answer("role").dicts()
    assigned = {(r["game"], r["official"], r["team"]) for r in engine.answer("assignment").dicts()}
    stated = defaultdict[Any, set[str]](set)
    for row in engine.answer("statement").dicts():
        stated[row["game"]].add(row["event_id"])
    for row in engine.answer("game").dicts():
        game = row["game"]
        answer = shown(games, game)
        head, entries = answer["head"], answer["entries"]
        assert len(entries) == answer["position"] == len({one["event"] for one in entries})
        gone = withdrawn((e["event"], e["target"]) for e in entries if e["kind"] == "withdraw")
        assert stated[game] == {
            e["event"] for e in entries if e["kind"] != "withdraw" and e["event"] not in gone
        }
        same = {"division": row["division"], "kickoff": row["kickoff_at"], "site": row["site"],
                "is_off": row["is_off"], "limit_clb": limits[game],
                "tolerance_clb": check["tolerance_clb"],
                "check_clb": check["check_weight_clb"]}  # fmt: skip
        assert {key: head[key] for key in same} == same
        sides = [one["team"] for one in head["teams"]]
        assert sides == [row["home"], row["visitor"]]
        there = {(o["official"], o["role"], o["team"]) for o in head["people"]}
        assert there >= {
            (r["official"], r["role"], r["team"])
            for r in roles
            if r["game"] in (None, game) and r["team"] in (None, *sides)
        }
        if row["is_off"]:
            continue  # the answers have no rosters of it
        assert {(o["official"], o["team"]) for o in head["people"] if o["is_assigned"]} == {
            (official, team) for where, official, team in assigned if where == game
        }
        for team in head["teams"]:
            found = {one["player"]: one["number"] for one in team["players"]}
            assert found == rosters[game, team["team"]]
            for player in team["players"]:
                assert player["mark"] == _first(marks, row, player["player"])


def _first(marks: Sequence[Answer], game: Answer, player: str) -> Answer | None:
    for mark in marks:
        is_theirs = (mark["player"], mark["division"]) == (player, game["division"])
        if is_theirs and mark["kickoff_at"] < game["kickoff_at"]:
            return {key: mark[key] for key in ("value", "initials", "game")}
    return None


@pytest.mark.parametrize("begin", range(0, SEEDS, 10))
def test_random_seasons_followed_piece_by_piece(begin: int) -> None:
    for seed in range(begin, begin + 10):
        events = season_for(seed)
        games = followed(events, Random(seed))
        agrees(Engine(stored_events(events)), games)
        anew = Games(store_of(events), "office")
        for game in games.schedule:
            assert shown(games, game)["head"] == shown(anew, game)["head"], seed


def test_the_sample_season(sample_ledger: Path) -> None:
    store = open_store(sample_ledger)
    agrees(Engine(list(store.events())), Games(store, "office"))
    store.close()
