"""Every rule fires on its tiny season, and does not on the season's nearest neighbor."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.queries import queries
from ledger.derive.scope import read_game
from tests.derive.season_cases import (
    BASE,
    SEASONS,
    Case,
    Season,
    cases,
    check_as_declared,
    grain,
    season_of,
)

NO_FOLDER = {"stated_behind_signature"}
"""Findings that no season folder can raise: its signatures are on the sheet."""


def test_every_rule_has_both_seasons() -> None:
    pairs = {(case.rule, case.which) for case in cases()}
    shown = {*rules()} - NO_FOLDER
    assert pairs == {(rule, which) for rule in shown for which in ("fires", "near")}
    assert {path.name for path in SEASONS.iterdir()} == {BASE.name, *shown}


@pytest.mark.parametrize("case", cases(), ids=lambda case: f"{case.rule}-{case.which}")
def test_rule(case: Case, tmp_path: Path) -> None:
    season = season_of(case.lines, tmp_path / "season", league=case.league)
    whole = find(Engine(season.store.events()), rule=case.rule)
    found = whole.dicts()
    assert bool(found) == (case.which == "fires")
    expected = [{k: v for k, v in line.items() if k != "event"} for line in case.findings]
    assert grain(found) == expected
    order = [event.id for event in season.events]
    check_as_declared(found, season.events)
    for row, line in zip(found, case.findings, strict=True):
        assert row["rule"] == case.rule
        assert row["events"] == sorted(set(row["events"]), key=order.index)
        assert row["detail"].endswith(".")
        if "event" in line:
            stated = season.event(line["event"])
            assert (row["events"], row["at"]) == ([stated.id], stated.at)
        else:
            assert row["at"] is None
    game = next(iter(found), {"game": "g1"})["game"]
    part = find(Engine(read_game(season.store, game)), rule=case.rule, game=game)
    assert part.rows == [row for row in whole.rows if row[1] == game]


def test_one_finding_a_statement_is_marked_as_such() -> None:
    """Rules with one finding for each statement say so; so do the seasons in which they fire."""
    each = {case.rule for case in cases() if any("event" in line for line in case.findings)}
    assert each == {
        rule for rule in {*rules()} - NO_FOLDER if "happened_at" in queries()[rule].columns
    }


def test_the_base_season_is_clean(tmp_path: Path) -> None:
    season = Season(BASE)
    assert find(Engine(season.store.events())).rows == []
