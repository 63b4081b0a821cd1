"""The answers of a season as files: CSV for spreadsheets, Parquet for whoever computes with them.

No name is in any of them: players and officials are ids. dictionary.txt beside the tables says
what each column means.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import duckdb

from ledger.derive.dictionary import describe, format_dictionary
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.queries import FINDINGS, queries
from ledger.derive.scope import read_season
from ledger.derive.spreadsheet import format_csv
from ledger.errors import InputError
from ledger.store.store import Store

TABLES: Mapping[str, str] = {
    "games": "game",
    "eligibility": "eligibility",
    "exposure": "exposure",
    "findings": FINDINGS,
    "book": "book",
    "ineligible_lists": "ineligible_list",
    "signatures": "list_signatures",
    "cases": "cases",
    "case_timeline": "case_timeline",
}
"""The answer or fact that each table is, by the table's name."""

DICTIONARY = "dictionary.txt"


@dataclass(frozen=True)
class Exported:
    """A table that was written, and how many rows it has."""

    name: str
    rows: int


def export_season(
    store: Store,
    folder: Path,
    *,
    parquet: bool = False,
    as_of: str | None = None,
    known_at: str | None = None,
) -> list[Exported]:
    """Write every table of the season and the dictionary into the folder, which may be new.

    Files of these names are replaced. Raises InputError where nothing can be written there.
    """
    engine = Engine(read_season(store), as_of=as_of, known_at=known_at)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        written, described = [], []
        for name, query in TABLES.items():
            answer = find(engine) if query == FINDINGS else engine.answer(query)
            text = format_csv(answer.columns, answer.rows)
            (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
            table = describe(engine, query, name=name)
            if parquet:
                _write_parquet(engine, query, folder / f"{name}.parquet")
            written.append(Exported(name, len(answer.rows)))
            described.append(table)
        dictionary = format_dictionary(described)
        (folder / DICTIONARY).write_text(dictionary, encoding="utf-8", newline="")
    except (OSError, duckdb.IOException) as error:
        hint = "Name a folder with --to that can be written to."
        raise InputError(f"{folder}: the tables cannot be written there", hint=hint) from error
    finally:
        engine.close()
    return written


def _write_parquet(engine: Engine, query: str, path: Path) -> None:
    copy = f"copy ({queries()[query].sql}) to $path (format parquet)"
    engine.connection.execute(copy, {"path": str(path)})
