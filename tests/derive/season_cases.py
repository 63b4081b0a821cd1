"""Tiny seasons for the rules: `tests/seasons/RULE/fires.txt` and `near.txt`.

Each is the season of `tests/seasons/base/`, which is clean, and a few lines more:

    A sentence that says what is different.
    -- league.toml      rules of the league beside the defaults (may be left out)
    -- lines            a day file
    -- findings         what the rule finds, a line each: game=g1 player=a1 event=REF
                        (in fires.txt; REF is the `ref` of the one statement that shows it)
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from shutil import copytree
from typing import Any

from ledger.chain.event import Event
from ledger.derive.rule_header import rule_header
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.sqlite.forms import APPLICATION_ID, NEWEST
from ledger.store.sqlite.store import SqliteStore
from ledger.store.sqlite.tables import schema

SEASONS = Path(__file__).parents[1] / "seasons"
BASE = SEASONS / "base"
GRAIN = ("game", "team", "player", "official", "side", "case")


@dataclass(frozen=True)
class Case:
    """One file: the rule, `fires` or `near`, and its parts."""

    rule: str
    which: str
    league: str
    lines: str
    findings: tuple[dict[str, str], ...]


def read_case(path: Path) -> Case:
    parts = re.split(r"^-- ([a-z.]+)\n", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
    sections = dict(zip(parts[1::2], parts[2::2], strict=True))
    assert sections.keys() <= {"league.toml", "lines", "findings"}, path
    findings = [
        dict(pair.split("=") for pair in line.split())
        for line in sections.get("findings", "").splitlines()
    ]
    return Case(
        path.parent.name,
        path.stem,
        sections.get("league.toml", ""),
        sections["lines"],
        tuple(findings),
    )


def cases() -> list[Case]:
    return [read_case(path) for path in sorted(SEASONS.glob("*/*.txt"))]


class Season:
    """A season folder loaded into a ledger in memory."""

    def __init__(self, folder: Path) -> None:
        self.store = empty_store()
        with self.store.writing() as writing:
            load_folder(writing, read_folder(folder), chain="office")

    @cached_property
    def events(self) -> list[Event]:
        return [stored.event for stored in self.store.events()]

    def event(self, ref: str) -> Event:
        return next(event for event in self.events if event.data.get("ref") == ref)


def season_of(lines: str, folder: Path, *, league: str = "") -> Season:
    """The base season with these lines as a second day file; `folder` must be new."""
    copytree(BASE, folder)
    with (folder / "league.toml").open("a", encoding="utf-8") as file:
        file.write(league)
    (folder / "days" / "2.csv").write_text(lines, encoding="utf-8")
    return Season(folder)


def empty_store() -> SqliteStore:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    for statement in schema():
        connection.execute(statement)
    connection.execute(f"pragma application_id = {APPLICATION_ID}")
    connection.execute(f"pragma user_version = {NEWEST}")
    return SqliteStore(connection)


def grain(rows: Iterable[dict[str, Any]]) -> list[dict[str, str]]:
    """The keys of findings that are not null."""
    return [{key: row[key] for key in GRAIN if row[key] is not None} for row in rows]


def check_as_declared(found: Iterable[Mapping[str, Any]], events: Iterable[Event]) -> None:
    """Findings name a player and a team as their rules say, and point at the kinds they say."""
    kinds = {event.id: event.kind for event in events}
    for row in found:
        header = rule_header(row["rule"])
        assert (row["player"] is not None) is (header.about == "child"), row
        assert row["team"] or header.about not in ("child", "team"), row
        shown = {kinds[event] for event in row["events"]}
        assert "any" in header.events or shown <= {*header.events}, row
