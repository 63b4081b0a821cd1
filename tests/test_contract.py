"""FORMAT.md and sql/README.md: made parts are those of the code, and what cites them finds them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ledger.derive.findings import rules
from ledger.record.league import read_league
from ledger.record.statements import KINDS
from tests.contract import season_parts
from tests.contract.parts import FORMAT, SQL_README, parts_of, texts, with_parts
from tests.test_architecture import texts as project_texts

WRITE = "python -m tests.contract --write"
NOT_SHIPPED = re.compile(
    r"SEASON_FOLDER|SCALE_TABLE|STYLE\.md|DESIGN\b|\bcontract('s)?,? \(?(section|[0-9])"
    r"|\bsection [0-9]+ of the contract|\bcontract of the season"
    r"|\bthe contract('s\b|s\b| says| has| fixes| leaves)"
)
CITED = re.compile(r"\b(FORMAT|sql/README)\.md`?,? sections? (\d+)(?: (?:to|and) (\d+))?")
HERE = "tests/test_contract.py"


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
    assert [key for key in season_parts.league_keys() if f"`{key}`" not in words] == []
    assert all(f"| `{kind}` |" in text for kind in KINDS)
    assert all(f"**{rule}**" in SQL_README.read_text(encoding="utf-8") for rule in rules())


def test_sections_are_numbered_in_order() -> None:
    """The code cites sections by number."""
    for path, _ in texts():
        assert headings(path) == list(range(1, len(headings(path)) + 1))


def headings(path: Path) -> list[int]:
    """The numbers of a text's sections."""
    found = re.findall(r"^## (\d+)\. ", path.read_text(encoding="utf-8"), re.MULTILINE)
    return [int(number) for number in found]


def test_no_file_cites_a_text_that_is_not_here() -> None:
    """Nobody can look up a text that the project does not ship."""
    found = [
        f"{name}: {match[0]}"
        for name, text in project_texts()
        if name != HERE and (match := NOT_SHIPPED.search(" ".join(text.split())))
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "(contract, section 3)",
        "(contract 3.1)",
        "section 2 of the contract",
        "the contract's words",
        "as the contract says",
        "DESIGN: disclosures",
        "(SEASON_FOLDER 3.3)",
    ],
)
def test_such_a_citation_would_be_found(line: str) -> None:
    assert NOT_SHIPPED.search(line)


def test_every_section_that_is_cited_is_there() -> None:
    sections = {"FORMAT": headings(FORMAT), "sql/README": headings(SQL_README)}
    cited = [
        (name, *match.groups())
        for name, text in project_texts()
        for match in CITED.finditer(" ".join(text.split()))
    ]
    assert len(cited) > 20
    for name, which, first, last in cited:
        assert {int(first), int(last or first)} <= set(sections[which]), (name, which, first)
