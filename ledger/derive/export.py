"""Export a season's answers: CSV for spreadsheets, Parquet for programs.

The files have no names in them: players and officials are ids. dictionary.txt says what each
column means.
"""

from __future__ import annotations

import re
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
from ledger.outputs import Kind, check_place, make_folder, replacing, write_output
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
"""The answer or fact behind each table, by the table's name."""

DICTIONARY = "dictionary.txt"
PARQUET = Kind("a Parquet file", re.compile(b"PAR1"))


@dataclass(frozen=True)
class Exported:
    """A table that was written, and its number of rows."""

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

    Replaces files of these names if they are the same tables. Raises InputError if the folder
    cannot be written to, ReportError for any other file of such a name; then nothing was written.
    """
    engine = Engine(read_season(store), as_of=as_of, known_at=known_at)
    try:
        make_folder(folder)
        written, described, texts = [], [], {}
        for name, query in TABLES.items():
            answer = find(engine) if query == FINDINGS else engine.answer(query)
            texts[f"{name}.csv"] = format_csv(answer.columns, answer.rows)
            written.append(Exported(name, len(answer.rows)))
            described.append(describe(engine, query, name=name))
        texts[DICTIONARY] = format_dictionary(described)
        queried = {f"{name}.parquet": query for name, query in TABLES.items() if parquet}
        kinds = {name: _begins_as(text) for name, text in texts.items()}
        for name, kind in (kinds | dict.fromkeys(queried, PARQUET)).items():
            check_place(folder / name, kind)  # a season folder also has a games.csv
        for name, text in texts.items():
            write_output(text.encode(), folder / name, kinds[name])
        for name, query in queried.items():
            with replacing(folder / name, PARQUET) as part:
                _write_parquet(engine, query, part)
    except (OSError, duckdb.IOException) as error:
        hint = "Give --to a folder that you can write to."
        raise InputError(f"{folder}: cannot write the tables there", hint=hint) from error
    finally:
        engine.close()
    return written


def _begins_as(text: str) -> Kind:
    """The kind of a file with this first line: a table's columns."""
    first = text.partition("\n")[0] + "\n"
    return Kind("a file of this export", re.compile(re.escape(first.encode())))


def _write_parquet(engine: Engine, query: str, path: Path) -> None:
    # Into the existing file: one that DuckDB creates could be read by anyone.
    copy = f"copy ({queries()[query].sql}) to $path (format parquet, use_tmp_file false)"
    engine.run(copy, {"path": str(path)})
