"""The sample season: what the generator writes, what its README says, and no more.

The findings are derived by the slow reference (tests/reference_rules.py), not by the SQL.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from ledger.record.kinds import OWN
from ledger.store.opening import open_or_make
from tests.make_sample_season import FOLDER, differences
from tests.reference_rules import RULE_NAMES, eligibility, exposure, findings
from tests.sample.office import EXHIBIT

README = (FOLDER / "README.md").read_text(encoding="utf-8")
SET_UP = {"league", "division", "team", "player", "official", "game"}
# FORMAT.md, section 6: every kind of statement.
KINDS = frozenset(
    re.findall(
        r"\w+",
        """
        roster_add roster_drop number_change enter_player trained assign appoint game_change
        game_off season_close at_scale station scale_out list weigh late_weigh initial strike_off
        stripe close countersign half plays snaps excuse concern case_open case_refer case_statement
        case_exhibit ruling case_close withdraw
        """,
    )
)
# Raised by signatures by key or with a scan only; those of a season folder are on the sheet.
NOT_FROM_A_FOLDER = {"stated_behind_signature"}
CLEAN = {"acorn-1a", "acorn-7a", "oak-3b", "oak-7a"}


@pytest.fixture(scope="module")
def events(sample_ledger: Path, tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """The season as the ledger holds it once it is loaded, without the ledger's own events."""
    path = Path(shutil.copy(sample_ledger, tmp_path_factory.mktemp("season")))
    with open_or_make(path) as store:
        held = [json.loads(stored.body) for stored in store.events()]
    return [event for event in held if event["kind"] not in OWN]


def only_child(rows: list[dict[str, Any]], team: str, number: int) -> dict[str, Any]:
    (row,) = (row for row in rows if (row["team"], row["number"]) == (team, number))
    return row


def test_the_folder_is_what_the_generator_writes() -> None:
    assert differences(FOLDER) == []


def test_a_change_of_the_folder_is_noticed(tmp_path: Path) -> None:
    (tmp_path / "league.toml").write_bytes(b"[league]\n")
    (tmp_path / "stray.csv").write_bytes(b"a,b\n")
    found = differences(tmp_path)
    assert {"league.toml: differs", "stray.csv: not from the generator"} < set(found)
    assert "days/2026-09-05.csv: missing" in found


def test_every_kind_of_statement_occurs(events: list[dict[str, Any]]) -> None:
    assert {event["kind"] for event in events} - SET_UP == KINDS


def test_seven_saturdays_of_four_games(events: list[dict[str, Any]]) -> None:
    days = [event["data"]["kickoff"][:10] for event in events if event["kind"] == "game"]
    assert len(days) == 28
    assert {days.count(day) for day in days} == {4}
    assert len(set(days)) == 7


def test_the_readme_says_where_each_rule_fires(events: list[dict[str, Any]]) -> None:
    table = README.split("| rule | games |\n|---|---|\n")[1]
    said = {
        rule: set(games.split(", ")) for rule, games in re.findall(r"\| (\w+) \| (.+) \|", table)
    }
    raised: dict[str, set[str]] = {}
    for finding in findings(events):
        raised.setdefault(finding["rule"], set()).add(finding["game"])
    assert said == raised
    assert set(said) == set(RULE_NAMES) - NOT_FROM_A_FOLDER


def test_a_season_run_well(events: list[dict[str, Any]]) -> None:
    found = findings(events)
    assert f"{len(found)} findings" in README
    assert not CLEAN & {finding["game"] for finding in found}
    assert {game for game in CLEAN if f"`{game}`" in README} == CLEAN


def test_the_readme_names_what_is_there(events: list[dict[str, Any]]) -> None:
    """Ids of children, games and cases in the README's commands."""
    games = {event["game"] for event in events if event["kind"] == "game"}
    players = {event["player"] for event in events if event["kind"] in ("player", "enter_player")}
    cases = {event["data"]["case"] for event in events if event["kind"] == "case_open"}
    commands = "\n".join(line for line in README.splitlines() if line.startswith("    weighbook"))
    assert set(re.findall(r"\bk\d+\b", README)) <= players
    assert set(re.findall(r"\b(?:acorn|oak)-\d[a-z]\b", README)) <= games
    assert set(re.findall(r"case show (\S+)", commands)) <= cases
    assert all(f"`{case}`" in README for case in cases)


def test_the_exhibit_can_be_made_again(events: list[dict[str, Any]]) -> None:
    assert f"printf '{EXHIBIT[:-1]}\\n' | sha256sum" in README
    (exhibit,) = (event for event in events if event["kind"] == "case_exhibit")
    assert re.fullmatch(r"[0-9a-f]{64}", exhibit["data"]["value"])


def test_the_broken_scale_is_decided_by_the_book(events: list[dict[str, Any]]) -> None:
    rows = eligibility(events, "acorn-2a")
    assert only_child(rows, "quokkas", 14)["may_carry"] == "undecided"
    assert only_child(rows, "quokkas", 35)["basis"] == "book"
    assert only_child(rows, "quokkas", 21)["basis"] == "ruling"


def test_mondays_ruling_does_not_undo_saturdays_plays(events: list[dict[str, Any]]) -> None:
    assert only_child(eligibility(events, "oak-5b"), "snapdragons", 36)["may_play"] == "full"
    assert only_child(exposure(events, "oak-5b"), "snapdragons", 36)["may_play"] == "none"


def test_the_sheet_in_the_coat_settles_the_plays(events: list[dict[str, Any]]) -> None:
    before = exposure(events, "acorn-7b", as_of="2026-10-27T05:00:00.000Z")
    assert only_child(before, "dormice", 47)["short"] == 1
    assert only_child(exposure(events, "acorn-7b"), "dormice", 47)["status"] == "met"


def test_the_stand_in_rules_and_changes_nothing(events: list[dict[str, Any]]) -> None:
    """A site official appoints a head official without authority, and a weighmaster with it."""
    appointed = {
        event["game"]: event for event in events if event["kind"] == "appoint" and "game" in event
    }
    assert {game: event["by"] for game, event in appointed.items()} == {
        "acorn-5b": "site-mossbottom",
        "oak-6a": "site-glimmerfen",
    }
    found = [finding for finding in findings(events) if finding["game"] == "oak-6a"]
    raised = {finding["rule"] for finding in found}
    assert {"appointed_without_authority", "ruling_without_authority"} < raised
    child = only_child(eligibility(events, "oak-6a"), "capybaras", 12)
    assert (child["may_carry"], child["basis"]) == ("no", "book")


def test_one_shirt_and_two_children(events: list[dict[str, Any]]) -> None:
    """Each has a row with the number; only the one who was weighed may play."""
    rows = [row for row in eligibility(events, "oak-6b") if row["number"] == 65]
    assert {row["team"] for row in rows} == {"snapdragons"}
    assert sorted((row["may_play"], row["listed"]) for row in rows) == [
        ("full", []),
        ("none", ["other"]),
    ]


def test_assigned_and_not_there(events: list[dict[str, Any]]) -> None:
    def officials(kind: str, key: str) -> set[str]:
        return {
            event[key] if key in event else event["data"][key]
            for event in events
            if (event["kind"], event.get("game"), event.get("team"))
            == (kind, "oak-4b", "capybaras")
        }

    assert officials("assign", "value") == {"capybaras-wm1", "capybaras-wm2"}
    assert officials("at_scale", "by") == {"board-1"}


def test_a_child_without_a_name() -> None:
    with (FOLDER / "players.csv").open(encoding="utf-8", newline="") as lines:
        unnamed = [row for row in csv.DictReader(lines) if not row["name"]]
    (child,) = unnamed
    assert f"{child['team'].capitalize()} {child['number']} has no name" in README
