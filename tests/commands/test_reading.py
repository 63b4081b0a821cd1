"""The reading commands over the sample season: exact JSON, tables of 80 columns, help, errors."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from ledger.commands import COMMANDS, weighbook
from ledger.derive.findings import rules
from ledger.errors import InputError

SAMPLE = Path(__file__).parents[2] / "sample_season"
ORDER = ["load", "status", "eligibility", "why", "book", "exposure", "forecast", "findings",
         "changes", "rules", "record", "print", "audit"]  # fmt: skip
READING = ("why", "exposure", "forecast", "findings", "changes", "rules")
FINDING_KEYS = ["rule", "game", "team", "player", "official", "side", "case", "at", "events",
                "detail"]  # fmt: skip
EXPOSURE_KEYS = ["game", "team", "player", "number", "may_play", "required", "recorded", "short",
                 "status"]  # fmt: skip


@pytest.fixture(scope="module")
def store(sample_ledger: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("reading") / "season.weighbook"
    return Path(shutil.copy(sample_ledger, path))


def run(store: Path, *arguments: str) -> Result:
    return CliRunner().invoke(
        weighbook, ["--store", str(store), *arguments], catch_exceptions=False
    )


def shown(store: Path, *arguments: str) -> str:
    result = run(store, *arguments)
    assert result.exit_code == 0, result.output
    return result.stdout


def as_json(store: Path, *arguments: str) -> Any:
    return json.loads(shown(store, *arguments, "--format", "json"))


def test_commands_come_in_the_order_of_a_season() -> None:
    names = list(COMMANDS)
    assert [name for name in names if name in ORDER] == ORDER


@pytest.mark.parametrize("name", READING)
def test_help_has_an_example_of_the_sample_season(store: Path, name: str) -> None:
    text = shown(store, name, "--help")
    assert re.search(rf"Examples?: weighbook {name}\b", text)
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize(
    "arguments",
    [
        "exposure",
        "exposure acorn-2b",
        "exposure --by team",
        "exposure --by player",
        "findings",
        "findings --explain check_weight_off",
        "forecast acorn-3b",
        "forecast acorn-3b --as-of 2026-09-19T15:05",
        "why acorn-2a k502",
        "why acorn-2b --team dormice --number 30",
        "changes acorn-2a --from 2026-09-12T08:50 --to 2026-09-12T09:00",
        "changes oak-3b --from 2026-09-19T11:00",
        "rules",
    ],
)
def test_tables_fit_80_columns(store: Path, arguments: str) -> None:
    text = shown(store, *arguments.split())
    assert max(map(len, text.splitlines())) <= 80


def test_findings_json_has_its_keys(store: Path) -> None:
    rows = as_json(store, "findings")
    assert len(rows) == 74
    assert all(list(row) == FINDING_KEYS for row in rows)
    # The signatures of a season folder are on the sheet, and never raise this one.
    assert {row["rule"] for row in rows} == set(rules()) - {"stated_behind_signature"}
    assert as_json(store, "findings", "--game", "acorn-1a") == []


@pytest.mark.parametrize("game", ["acorn-2a", "acorn-4a", "oak-4a"])
def test_findings_of_a_game_are_those_of_the_season(store: Path, game: str) -> None:
    season = [row for row in as_json(store, "findings") if row["game"] == game]
    assert as_json(store, "findings", "--game", game) == season


def test_findings_of_a_team_and_a_rule(store: Path) -> None:
    rows = as_json(store, "findings", "--team", "quokkas", "--rule", "carrier_undecided")
    assert [row["player"] for row in rows] == ["k297", "k633"]
    table = shown(store, "findings", "--game", "acorn-2a")
    assert "carrier_undecided         quokkas 27 (k297)" in table
    assert "3 findings." in table
    assert shown(store, "findings", "--game", "acorn-1a") == "No findings.\n"


def test_findings_csv_lists_ids_by_spaces(store: Path) -> None:
    text = shown(store, "findings", "--game", "acorn-4b", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert list(rows[0]) == [
        *("Rule", "Game", "Team", "No.", "Player", "Official", "Side", "Case"),
        *("When (local)", "When (UTC)", "Entries", "What was found"),
    ]
    assert all(row["Entries"].startswith("office:") for row in rows)


def test_explain_says_whose_it_is_to_look(store: Path) -> None:
    assert shown(store, "findings", "--explain", "late_after_half") == (
        "late_after_half\n"
        "Raised for: a late player presented after the first half.\n"
        "The procedure: a late player is presented by the end of the first half.\n"
        "Source: common practice.\n"
        "For: site official, head official.\n"
        "One finding for each: game, team and player.\n"
    )
    assert as_json(store, "findings", "--explain", "plays_short")["rule"] == "plays_short"


def test_exposure_json_has_its_keys(store: Path) -> None:
    rows = as_json(store, "exposure", "acorn-3b")
    assert all(list(row) == EXPOSURE_KEYS for row in rows)
    (short,) = [row for row in rows if row["status"] == "short"]
    assert (short["player"], short["recorded"], short["short"]) == ("k529", 6, 4)
    season = as_json(store, "exposure")
    assert [row for row in season if row["game"] == "acorn-3b"] == rows


def test_exposure_totals_and_the_season_agree(store: Path) -> None:
    season = as_json(store, "exposure")
    for by in ("team", "player"):
        totals = as_json(store, "exposure", "--by", by)
        assert sum(row["short"] for row in totals) == sum(
            row["status"] == "short" for row in season
        )
    assert "Not shown: " in shown(store, "exposure", "--by", "player")
    with pytest.raises(InputError):
        run(store, "exposure", "acorn-3b", "--by", "team")


def test_exposure_as_of_a_late_sheet(store: Path) -> None:
    def short(*moment: str) -> list[str]:
        rows = as_json(store, "exposure", "acorn-7b", *moment)
        return [row["player"] for row in rows if row["status"] == "short"]

    assert len(short("--as-of", "2026-10-27 00:00")) == 1
    assert short() == []


def test_forecast_puts_late_players_first_and_says_how(store: Path) -> None:
    moment = ("--as-of", "2026-09-19 16:05")
    forecast = as_json(store, "forecast", "acorn-3b", *moment)
    assert [row["number"] for row in forecast["players"]] == [46]
    assert 0 < forecast["players"][0]["chance"] < 0.5
    table = shown(store, "forecast", "acorn-3b", *moment)
    assert table.startswith("Second half only:\n")
    assert "Method: " in table
    assert "Assumed: " in table
    assert "Limits: " in table
    early = shown(store, "forecast", "acorn-3b", "--as-of", "2026-09-19 12:00")
    assert "nobody has been weighed" in early
    done = shown(store, "forecast", "acorn-7a")
    assert "nobody is short of plays" in done
    text = shown(store, "forecast", "acorn-3b", *moment, "--format", "csv")
    assert next(csv.DictReader(io.StringIO(text)))["Player"] == "k529"
    with pytest.raises(InputError):
        run(store, "forecast", "oak-3b")


def test_why_by_id_and_by_number_is_the_same(store: Path) -> None:
    by_id = as_json(store, "why", "acorn-2a", "k502")
    assert by_id == as_json(store, "why", "acorn-2a", "--team", "quokkas", "--number", "21")
    assert by_id["sentence"] in " ".join(shown(store, "why", "acorn-2a", "k502").split())
    assert by_id["rests_on"][0]["by"]["name"] != by_id["rests_on"][0]["by"]["official"]


def test_why_is_the_row_of_eligibility(store: Path) -> None:
    for row in as_json(store, "eligibility", "oak-1b")[:3]:
        why = as_json(store, "why", "oak-1b", row["player"])
        keys = ("team", "number", "may_play", "may_carry", "basis", "listed")
        assert {key: why[key] for key in keys} == {key: row[key] for key in keys}
        assert sorted(one["event"] for one in why["rests_on"]) == sorted(row["events"])


def test_why_names_no_child(store: Path) -> None:
    with (SAMPLE / "players.csv").open(encoding="utf-8") as file:
        names = [row["name"] for row in csv.DictReader(file) if row["name"]]
    text = shown(store, "why", "acorn-2b", "--team", "dormice", "--number", "30")
    assert not [name for name in names if name in text]


def test_changes(store: Path) -> None:
    span = ("--from", "2026-09-12 08:50", "--to", "2026-09-12 09:00")
    found = as_json(store, "changes", "acorn-2a", *span)
    (change,) = found["changes"]
    assert (change["before"]["may_carry"], change["after"]["may_carry"]) == ("no", "yes")
    assert [one["event"] for one in change["statements"]][-1].startswith("office:")
    assert (found["from"], found["clock"]) == ("2026-09-12T13:50:00.000Z", "entered")
    known = as_json(store, "changes", "acorn-2a", *span, "--known")
    assert (known["clock"], known["changes"]) == ("recorded", [])
    assert run(store, "changes", "acorn-2a").exit_code == 2
    with pytest.raises(InputError, match="--from is later than --to"):
        run(store, "changes", "acorn-2a", "--from", span[3], "--to", span[1])


def test_rules(store: Path) -> None:
    found = as_json(store, "rules")
    assert found["league"].endswith("season 2026")
    text = shown(store, "rules")
    assert "– Acorn: a ball carrier is not over 95 lb (43.1 kg); from Oct 1, 2026, " in text
    assert "– The weigh-in opens 30 minutes before kickoff (common practice)." in text


def test_findings_of_a_week_by_who_looks(store: Path) -> None:
    rows = as_json(store, "findings", "--week", "2")
    assert rows == as_json(store, "findings", "--date", "2026-09-12")
    assert {row["game"] for row in rows} == {"acorn-2a", "acorn-2b", "oak-2a", "oak-2b"}
    ours = as_json(store, "findings", "--week", "2", "--association", "quillowick")
    assert {row["team"] for row in ours} < {row["team"] for row in rows}
    told = shown(store, "findings", "--week", "2").splitlines()
    groups = [line for line in told if line.startswith("For: ")]
    assert groups == ["For: weighmaster", "For: site official", "For: head official",
                      "For: association president"]  # fmt: skip
    second = shown(store, "findings", "--week", "2", "--for", "division_president")
    assert [line for line in second.splitlines() if line[0:3] == "For"] == [
        "For: division president"
    ]


def test_steps_that_are_not_due_yet_are_apart(store: Path) -> None:
    early = shown(store, "findings", "--game", "acorn-1a", "--as-of", "2026-09-05T08:50")
    assert early.startswith("Still to do\nFor: weighmaster\n  acorn-1a\n")
    assert "0 findings. 6 steps still to do." in early
    assert "Still to do" not in shown(store, "findings", "--week", "1")


def test_monday_of_a_week_and_an_association(store: Path) -> None:
    whole = shown(store, "monday", "--week", "2")
    for heading in ("What went well", "What to settle", "  For: head official"):
        assert f"\n{heading}\n" in whole
    texts = [line for line in whole.splitlines() if not line.strip().startswith("weighbook ")]
    assert max(map(len, texts)) <= 80
    ours = as_json(store, "monday", "--week", "2", "--association", "quillowick")
    assert ours["title"] == "After week 2 (Sat, Sep 12, 2026), association quillowick"
    with (SAMPLE / "teams.csv").open(encoding="utf-8", newline="") as file:
        teams = {row["team"] for row in csv.DictReader(file) if row["association"] == "quillowick"}
    assert ours["settle"]
    for group in ours["settle"]:
        items = [item for block in group["blocks"] for item in block["items"]]
        named = {item["about"].split()[0].rstrip(":") for item in items if item["about"]}
        theirs = {one for one in named - teams if not one[0].isdigit()}
        assert not theirs or teams & {*group["role"].split()}
