"""fold.js adds up a game's statements as sql/ does: on the sample season, and on random ones.

The page gets what the server gives it; a ruling is the one thing it leaves to the server.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.field.games import Games
from ledger.field.shell import build, static_file
from ledger.store.opening import open_store
from ledger.store.store import Store
from tests.differential import season_for
from tests.stored import store_of, stored_events

ADDRESS = "http://127.0.0.1:1"
FINDINGS = {
    "left": "unaccounted",
    "over_not_listed": "noncarrier_not_listed",
    "over_not_striped": "noncarrier_not_striped",
    "undecided": "carrier_undecided",
}
SEASONS = 40
FOLDED = """
async ([module, games]) => {
  const { fold } = await import(module);
  const ids = (children) => children.map((one) => one.player).sort();
  return games.map(({ entries, head }) => {
    const found = fold(entries, head);
    const children = [...found.children.values()].map((one) => ({
      team: one.team, player: one.player, may_play: one.may_play, may_carry: one.may_carry,
      listed: [...one.listed].sort(), ruled: one.ruled, done: one.done, on_roster: one.on_roster,
      plays: Object.fromEntries(Object.entries(one.plays).map(([half, of]) => [half, of.count])),
    }));
    const teams = [...found.teams].map(([team, of]) => [team, {
      left: ids(of.left), over_not_listed: ids(of.over_not_listed), undecided: ids(of.undecided),
      over_not_striped: ids(of.over_not_striped), closed_at: of.closed_at,
    }]);
    return { children, teams, scale: found.scale, ended: Object.keys(found.half_ended) };
  });
}
"""


@pytest.fixture(scope="module")
def blank(chromium: Browser) -> Iterator[Page]:
    """A page that has our modules and nothing else."""
    context = chromium.new_context()
    page = context.new_page()

    def answer(route: Any) -> None:
        file = static_file(build().version, route.request.url.rpartition("/static/x/")[2])
        if file is None:
            route.fulfill(body="", content_type="text/html")
        else:
            route.fulfill(body=file.data, content_type=file.type)

    page.route("**/*", answer)
    page.goto(ADDRESS)
    yield page
    context.close()


def test_the_sample_season(blank: Page, sample_ledger: Any) -> None:
    store = open_store(sample_ledger)
    try:
        assert differences(blank, store, Engine(store.events())) > 500
    finally:
        store.close()


@pytest.mark.parametrize("begin", range(0, SEASONS, 10))
def test_random_seasons(blank: Page, begin: int) -> None:
    compared = 0
    for seed in range(begin, begin + 10):
        events = season_for(seed)
        store = store_of(events)
        try:
            compared += differences(blank, store, Engine(stored_events(events)), f"seed {seed}: ")
        finally:
            store.close()
    assert compared > 50


def differences(page: Page, store: Store, engine: Engine, where: str = "") -> int:
    """Assert that the page says what the answers say; return how many children were compared."""
    told = Games(store, "office")
    names = [row["game"] for row in engine.answer("game").dicts() if not row["is_off"]]
    games = [json.loads(told.answer(one, after=0, edition="")) for one in names]
    folded = page.evaluate(FOLDED, [f"{ADDRESS}/static/x/fold.js", games])
    rights = by_game(engine, "eligibility")
    facts = {name: by_game(engine, name) for name in ("play_count", "half_end", "team_weighed")}
    found: dict[tuple[str, str], list[Mapping[str, Any]]] = defaultdict(list)
    for row in find(engine, among=sorted(FINDINGS.values())).dicts():
        found[row["rule"], row["game"]].append(row)
    compared = 0
    for game, ours in zip(names, folded, strict=True):
        own = {(row["team"], row["player"]): row for row in ours["children"]}
        for row in rights[game]:
            child = own[row["team"], row["player"]]
            assert child["listed"] == row["listed"], where + f"{game} {row}"
            if row["basis"] != "ruling":
                said = (child["may_play"], child["may_carry"])
                assert said == (row["may_play"], row["may_carry"]), where + f"{game} {row} {child}"
            compared += 1
        ruled = {key for key, child in own.items() if child["ruled"]}
        weighed = {row["team"] for row in facts["team_weighed"][game]}
        for team, state in ours["teams"]:
            for name, rule in FINDINGS.items():
                theirs = {r["player"] for r in found[rule, game] if r["team"] == team}
                mine = set(state[name]) if name != "left" or team in weighed else set()
                but = {player for side, player in ruled if side == team}
                assert mine - but == theirs - but, where + f"{game} {team} {name}"
        counted = {
            (r["team"], r["player"], str(r["half"])): r["plays"] for r in facts["play_count"][game]
        }
        plays = {
            (*key, half): count
            for key, child in own.items()
            for half, count in child["plays"].items()
        }
        assert plays == counted, where + game
        assert sorted(map(int, ours["ended"])) == sorted(r["half"] for r in facts["half_end"][game])
    return compared


def by_game(engine: Engine, name: str) -> Mapping[str, list[dict[str, Any]]]:
    rows: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in engine.answer(name).dicts():
        rows[row["game"]].append(row)
    return rows
