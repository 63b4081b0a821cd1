"""The answers in a bundle, as CSV: what the ledger derives from the case.

The program made them; nobody signed them. Anyone who doubts one can derive it again from the
statements it names.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.dictionary import Table, describe
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case
from ledger.derive.spreadsheet import format_csv
from ledger.store.store import Store

_OF_GAME = ("eligibility", "exposure", "ineligible_list", "list_signatures")
_OF_CASE = ("cases", "case_timeline")
_EVENT_KEYS = ("event_id", "strike_id", "withdrawn_by")


@dataclass(frozen=True)
class CaseAnswers:
    """Rows by table; `files` are the CSV files by name."""

    tables: tuple[Table, ...]
    rows: Mapping[str, list[dict[str, Any]]]
    files: Mapping[str, bytes]

    @property
    def rests_on(self) -> frozenset[str]:
        """The ids of all events that the rows name."""
        rows = [row for rows in self.rows.values() for row in rows]
        named = {row[key] for row in rows for key in _EVENT_KEYS if row.get(key)}
        return frozenset(named.union(*(row.get("events") or () for row in rows)))


def answer_case(store: Store, case: str, games: Iterable[str]) -> CaseAnswers:
    """Return the answers about a case and its games, as of now."""
    games = list(games)
    engine = Engine(read_case(store, case))
    rows: dict[str, list[dict[str, Any]]] = {}
    for name in _OF_CASE:
        rows[name] = [row for row in engine.answer(name).dicts() if row["case_id"] == case]
    for name in _OF_GAME:
        rows[name] = [row for game in games for row in engine.answer(name, game=game).dicts()]
    rows["findings"] = [
        row for row in find(engine).dicts() if row["case"] == case or row["game"] in games
    ]
    tables, files = _described(engine), {}
    for table in tables:
        columns = [column.name for column in table.columns]
        cells = ([row[column] for column in columns] for row in rows[table.name])
        files[f"{table.name}.csv"] = format_csv(columns, cells).encode()
    return CaseAnswers(tables, rows, files)


def describe_tables() -> tuple[Table, ...]:
    """Describe the same tables without a ledger."""
    engine = Engine([])
    for name in (*_OF_CASE, *_OF_GAME):
        engine.answer(name)
    find(engine)
    return _described(engine)


def _described(engine: Engine) -> tuple[Table, ...]:
    return tuple(describe(engine, name) for name in sorted((*_OF_CASE, *_OF_GAME, "findings")))
