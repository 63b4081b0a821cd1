"""sample_season/FORMAT.md and sql/README.md: their generated parts are those of the code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ledger.derive.findings import rules
from ledger.record.league import read_league
from ledger.record.statements import KINDS
from tests.contract import season_parts
from tests.contract.parts import FORMAT, SQL_README, parts_of, texts, with_parts

WRITE = "python -m tests.contract --write"


@pytest.mark.parametrize(("path", "parts"), texts(), ids=["season", "sql"])
def test_the_parts_are_those_of_the_code(path: Path, parts: dict[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    assert sorted(parts_of(text)) == sorted(parts)
    assert with_parts(text, parts) == text, WRITE


@pytest.mark.parametrize(("path", "parts"), texts(), ids=["season", "sql"])
def test_a_stale_part_is_seen(path: Path, parts: dict[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    for name, made in parts.items():
        first = made.splitlines()[0]
        assert with_parts(text, parts | {name: made.replace(first, "other", 1)}) != text


def test_the_league_shown_loads_and_is_all_defaults() -> None:
    shown, faults = read_league(season_parts.toml())
    least = '[league]\nname = "…"\nseason = "2026"\ntime_zone = "America/Chicago"\n'
    assert faults == []
    assert shown == read_league(least)[0]


def test_every_key_and_kind_is_explained() -> None:
    """Keys in the words below the example; kinds and rules by the tables themselves."""
    text = FORMAT.read_text(encoding="utf-8")
    words = text.partition("<!-- end of league -->")[2].partition("## 5.")[0]
    required = {"name", "season", "time_zone"}
    unsaid = [key for key in season_parts.league_keys() if f"`{key}`" not in words]
    assert set(unsaid) == required
    assert all(f"| `{kind}` |" in text for kind in KINDS)
    assert all(f"**{rule}**" in SQL_README.read_text(encoding="utf-8") for rule in rules())


def test_sections_are_numbered_in_order() -> None:
    """The code cites sections by number."""
    for path, _ in texts():
        numbers = re.findall(r"^## (\d+)\. ", path.read_text(encoding="utf-8"), re.MULTILINE)
        assert [int(number) for number in numbers] == list(range(1, len(numbers) + 1))
