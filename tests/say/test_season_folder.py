"""`weighbook help season-folder`: nothing of the models is missing, and every example is right."""

from __future__ import annotations

import csv
import io
from zoneinfo import ZoneInfo

import pytest

from ledger.record.csvfile import Record
from ledger.record.fields import COLUMNS
from ledger.record.league import read_league
from ledger.record.reading import Place, read_statement
from ledger.record.statements import KINDS
from ledger.record.table_checks import check_tables
from ledger.record.tables import TABLES, PlacedRow, Table, read_row
from ledger.say import folder_columns
from ledger.say.folder_columns import EVERY_KIND, KindOfEntry, day_columns, kinds, tables
from ledger.say.lines import paragraph
from ledger.say.season_folder import FILES, season_folder_lines
from ledger.say.settings import REQUIRED, sections, settings, toml_text

LOCAL = ZoneInfo("America/Chicago")
PAGE = "\n".join(
    paragraph(one.text, indent=one.indent, hang=one.hang) for one in season_folder_lines()
)


def test_every_file_column_kind_and_setting_is_on_the_page() -> None:
    lines = [line.strip() for line in PAGE.splitlines()]
    named = {line.partition(":")[0] for line in lines}
    assert named >= {one.key for one in settings()} | {*COLUMNS, *KINDS}
    for model in TABLES:
        assert model.table in lines
        assert named >= set(model.model_fields)
    assert max(map(len, PAGE.splitlines())) <= 80


def test_the_page_begins_with_every_file_of_the_folder() -> None:
    assert list(FILES) == ["league.toml", *(model.table for model in TABLES), "days/*.csv"]
    first = PAGE.splitlines()[4 : 4 + len(FILES)]
    assert [line.split()[0] for line in first] == list(FILES)


def test_a_line_of_the_page_is_indented_by_what_it_is() -> None:
    """A heading, what stands below it, what is said of that, and where such a line goes on."""
    texts = [line for line in PAGE.splitlines() if line]
    assert {len(line) - len(line.lstrip()) for line in texts} == {0, 2, 6, 8}


def test_the_examples_of_settings_are_a_league_toml() -> None:
    """All at once, but for minimum and by_squad_size: a league has one of them."""
    for left_out in ("minimum", "by_squad_size"):
        lines = []
        for section, keys in sections().items():
            lines.append(f"[{section}]")
            lines += [f"{one.key} = {one.example}" for one in keys if one.key != left_out]
        league, faults = read_league("\n".join(lines))
        assert faults == []
        assert league is not None
        assert league.data["weigh_in"]["limit_allowance"] == [{"from": "2026-10-01", "clb": 200}]
        assert set(league.data["plays"]) == {"minimum", "by_squad_size"} - {left_out}


def test_what_a_setting_without_a_default_is() -> None:
    without = {one.key for one in settings() if not one.default}
    assert without == {*REQUIRED, "by_squad_size"}
    assert "  by_squad_size: steps. Default: none\n" in PAGE
    assert "  season: text. Needed\n" in PAGE


@pytest.mark.parametrize("kind", kinds(), ids=lambda kind: kind.name)
def test_the_example_of_a_kind_is_an_entry(kind: KindOfEntry) -> None:
    always = {one.name: one.example for one in day_columns() if one.name in EVERY_KIND}
    statement, faults = read_statement(always | {"kind": kind.name} | kind.example, LOCAL, Place())
    assert faults == []
    assert statement is not None
    assert statement.kind == kind.name


def test_a_column_that_is_used_in_a_way_of_its_own_has_an_example_of_its_own() -> None:
    of_kinds = {kind.name: kind.example for kind in kinds()}
    for (kind, column), text in folder_columns._OF_KIND.items():
        assert of_kinds[kind][column] == text
    of_tables = {(file, one.name): one.example for file, of in tables().items() for one in of}
    own = {key: text for key, text in folder_columns._OF_TABLE.items() if not isinstance(key, str)}
    assert own.items() <= of_tables.items()


def test_the_examples_of_tables_are_rows_that_fit_together() -> None:
    """With a second team and official: a row's example names them."""
    placed = {}
    for model in TABLES:
        cells = {one.name: one.example for one in tables()[model.table]}
        rows = [cells, cells | {"team": "marmots"}] if model.table == "teams.csv" else [cells]
        read = [read_row(model, Record(1, Place(), one), LOCAL) for one in rows]
        assert [faults for _, faults in read] == [[] for _ in rows]
        rows = [PlacedRow(row, Place()) for row, _ in read if row is not None]
        placed[model.table] = Table(rows)
    assert check_tables(placed) == ([], 0)


def test_only_columns_that_a_row_may_leave_blank_are_said_to_be() -> None:
    said = {(file, one.name): one.blank for file, columns in tables().items() for one in columns}
    assert said["players.csv", "player"] is None
    assert said["players.csv", "number"] == "nothing"
    assert "  association: text; may be blank. Example: glimmerfen\n" in PAGE
    assert "  entered: time; if blank, the same as at. Example: 2026-09-05 08:50\n" in PAGE


@pytest.mark.parametrize("text", ['a "b"', "C:\\d", "é ☃", "a\tb\nc\x7f", ""])
def test_any_text_is_written_as_toml(text: str) -> None:
    league, faults = read_league(
        f'[league]\nname = {toml_text(f"x{text}")}\nseason = "1"\ntime_zone = "UTC"'
    )
    assert faults == []
    assert league is not None
    assert league.data["name"] == f"x{text}"


def test_an_example_stands_in_one_csv_cell() -> None:
    row = [one.example for one in day_columns()]
    text = io.StringIO()
    csv.writer(text).writerow(row)
    assert next(csv.reader([text.getvalue()])) == row


def test_the_help_says_how_headings_are_written() -> None:
    """A spreadsheet program or its user likes capitals; a load refuses them."""
    told = " ".join(line.text for line in season_folder_lines())
    assert "a header line, its headings in small letters" in told
