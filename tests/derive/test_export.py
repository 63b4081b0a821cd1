"""The season as files: the same rows in each kind of file, described, and without names."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest
from click.testing import CliRunner

from ledger.commands import weighbook
from ledger.derive.engine import Engine
from ledger.derive.export import DICTIONARY, TABLES, export_season
from ledger.derive.scope import read_season
from ledger.errors import InputError, ReportError
from ledger.store.opening import open_or_make
from ledger.store.sqlite.store import SqliteStore
from tests.make_sample_season import FOLDER

EARLY = "2026-09-06T00:00:00.000Z"


@pytest.fixture(scope="module")
def store(sample_ledger: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    path = tmp_path_factory.mktemp("season") / "season.weighbook"
    with open_or_make(Path(shutil.copy(sample_ledger, path))) as made:
        yield made


@pytest.fixture(scope="module")
def folder(store: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tables") / "it's new"
    export_season(store, folder, parquet=True)
    return folder


def csv_rows(folder: Path, table: str) -> list[list[str]]:
    with (folder / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


@pytest.mark.parametrize("table", TABLES)
def test_both_files_have_the_rows_of_the_answer(folder: Path, table: str) -> None:
    columns, *rows = csv_rows(folder, table)
    relation = duckdb.from_parquet(str(folder / f"{table}.parquet"))
    assert relation.columns == columns
    assert len(relation.fetchall()) == len(rows) > 0
    assert all(len(row) == len(columns) for row in rows)


def test_the_values_are_those_of_the_answer(folder: Path, store: SqliteStore) -> None:
    answer = Engine(read_season(store)).answer("eligibility").dicts()
    columns, *rows = csv_rows(folder, "eligibility")
    for row, (told, right) in enumerate(zip(rows, answer, strict=True)):
        shown = dict(zip(columns, told, strict=True))
        assert shown["player"] == right["player"], row
        assert shown["number"] == ("" if right["number"] is None else str(right["number"]))
        assert shown["events"].split() == right["events"]


def test_every_column_is_described(folder: Path) -> None:
    dictionary = (folder / DICTIONARY).read_text(encoding="utf-8")
    for table in TABLES:
        described = dictionary.split(f"\n{table}\n")[1]
        for column in csv_rows(folder, table)[0]:
            assert f"\n  {column} " in described, (table, column)
    assert max(map(len, dictionary.splitlines())) <= 80
    assert "apostrophe" in dictionary


def test_a_column_that_means_something_else_in_one_table(folder: Path) -> None:
    dictionary = (folder / DICTIONARY).read_text(encoding="utf-8")
    cases = " ".join(dictionary.split("\ncases\n")[1].split())
    assert "what it is about: roster, weigh, plays, safety, protest, other" in cases


def test_no_name_is_in_any_file(folder: Path) -> None:
    names = set()
    for file in ("players.csv", "officials.csv"):
        with (FOLDER / file).open(encoding="utf-8", newline="") as lines:
            names |= {row["name"] for row in csv.DictReader(lines)} - {""}
    for path in folder.iterdir():
        data = path.read_bytes()
        assert not [name for name in names if name.encode() in data], path.name


def test_as_of_a_moment(store: SqliteStore, tmp_path: Path) -> None:
    export_season(store, tmp_path, as_of=EARLY)
    assert len(csv_rows(tmp_path, "cases")) < 5
    assert not list(tmp_path.glob("*.parquet"))


def test_the_command(store: SqliteStore, tmp_path: Path) -> None:
    (_, _, file) = store.connection.execute("pragma database_list").fetchone()
    words = ["--store", file, "export", "--to", str(tmp_path / "tables")]
    told = CliRunner().invoke(weighbook, words)
    assert told.exit_code == 0, told.output
    assert "Wrote 9 tables as CSV" in told.output
    assert (tmp_path / "tables" / "signatures.csv").is_file()
    text = CliRunner().invoke(weighbook, ["export", "--help"]).output
    assert "Example: weighbook export " in text
    assert max(map(len, text.splitlines())) <= 80


def test_no_table_of_a_season_folder_is_replaced(store: SqliteStore, tmp_path: Path) -> None:
    """It also has a games.csv, with other columns. The same tables are written again."""
    there = b"game,division,kickoff,site,home,visitor\n"
    (tmp_path / "games.csv").write_bytes(there)
    with pytest.raises(ReportError, match="is not a file of this export"):
        export_season(store, tmp_path)
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("games.csv", there)]
    (tmp_path / "games.csv").unlink()
    for _ in range(2):
        export_season(store, tmp_path, parquet=True)
    assert len(list(tmp_path.iterdir())) == 2 * len(TABLES) + 1


def test_a_place_that_cannot_be_written_to(store: SqliteStore, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputError, match="cannot write the tables there"):
        export_season(store, tmp_path / "file" / "tables")
