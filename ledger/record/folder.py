"""Read or refuse a season folder as a whole: league.toml, five tables, and days/*.csv."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from zoneinfo import ZoneInfo

from ledger.errors import Fault, FolderError
from ledger.record.accepted import Accepted
from ledger.record.csvfile import read_records, read_text
from ledger.record.fields import COLUMNS
from ledger.record.league import FILE as LEAGUE_FILE
from ledger.record.league import read_league
from ledger.record.reading import Place, limit_faults, read_line, shown
from ledger.record.season_files import DAYS, day_files, misnamed, refuse_other_folder, unread
from ledger.record.statements import Statement
from ledger.record.table_checks import check_tables
from ledger.record.tables import TABLES, PlacedRow, Table, read_table
from ledger.record.times import zone
from ledger.record.unread_lines import UnreadLines, unchecked_words

_TABLE = "the table; it may hold just its header line"
_LINE_BYTES = 72


@dataclass(frozen=True)
class Line:
    """A statement in a day file, identified by file and record number.

    `if_new`: the line's faults, unless it was loaded before.
    """

    statement: Statement
    place: Place
    record: int
    if_new: Sequence[Fault] = ()


@dataclass(frozen=True)
class Folder:
    """A season folder's contents; each row and line can be read.

    `files` are its day files, `unread` the other files there. `faults` and `broken` are those of
    day files of which only a part can be read.
    """

    league: Accepted
    rows: Sequence[PlacedRow]
    lines: Sequence[Line]
    files: Sequence[str]
    unread: Sequence[str] = ()
    faults: Sequence[Fault] = ()
    broken: UnreadLines = field(default_factory=UnreadLines)


def count_lines(path: Path) -> int:
    """Estimate how many lines the day files have, for a progress display."""
    sizes = [file.stat().st_size for file in day_files(path) if file.is_file()]
    return sum(sizes) // _LINE_BYTES


def read_folder(path: Path, on_record: Callable[[int], None] = lambda count: None) -> Folder:
    """Read the folder; FolderError lists all its faults at once.

    Calls `on_record` for each day-file record read. Whatever depends on the ledger (known
    officials, roster numbers, lines loaded before) is checked later, on acceptance.
    """
    folder = read_readable(path, on_record)
    if folder.faults:
        unchecked = unchecked_words(len(folder.broken.missed), 0, len(folder.lines))
        raise FolderError(folder.faults, unchecked=unchecked)
    return folder


def read_readable(path: Path, on_record: Callable[[int], None] = lambda count: None) -> Folder:
    """Read the folder, its day files as far as they can be; FolderError where a table cannot.

    `ledger.store.loading` refuses what has `faults`, together with those that it finds itself.
    """
    refuse_other_folder(path)
    league, faults = _read_league(path)
    local = zone(league.data["time_zone"]) if league else zone("UTC")
    tables, more, missed = _read_tables(path, local)
    between = check_tables(tables)
    faults += [*more, *between.faults]
    lines, files, of_days, broken = _read_days(path, local, on_record)
    of_days += misnamed(path)
    if faults or league is None:
        unchecked = unchecked_words(missed + len(broken.missed), between.unchecked, len(lines))
        raise FolderError([*faults, *of_days], unchecked=unchecked)
    rows = [placed for table in tables.values() for placed in table.rows]
    return Folder(league, rows, lines, files, unread(path), of_days, broken)


def _read_tables(path: Path, local: ZoneInfo) -> tuple[dict[str, Table], list[Fault], int]:
    """The tables by file, their faults, and how many files have records that were not read."""
    tables: dict[str, Table] = {}
    faults: list[Fault] = []
    missed = 0
    for model in TABLES:
        if not (path / model.table).is_file():
            faults.append(Place(model.table).fault("", "no such file", _TABLE))
            tables[model.table] = Table(is_whole=False)
            continue
        read = read_records(path / model.table, model.table, list(model.model_fields))
        missed += read.has_missed
        tables[model.table], more = read_table(model, read, local)
        faults += more
    return tables, faults, missed


def _read_league(path: Path) -> tuple[Accepted | None, list[Fault]]:
    file = path / LEAGUE_FILE
    if not file.is_file():
        return None, [Place(LEAGUE_FILE).fault("", "no such file", "the league's rules")]
    text, faults = read_text(file, LEAGUE_FILE)
    return (None, faults) if faults else read_league(text)


def _read_days(
    path: Path, local: ZoneInfo, on_record: Callable[[int], None]
) -> tuple[list[Line], list[str], list[Fault], UnreadLines]:
    lines, faults, files, broken = [], [], [], UnreadLines()
    for file in day_files(path):
        name = f"{DAYS}/{file.name}"
        files.append(name)
        if any("\ud800" <= character <= "\udfff" for character in name):
            right = "a file name in UTF-8, such as 2026-09-05.csv"
            faults.append(Place(DAYS).fault("", shown(file.name), right))
            broken.miss(name)
            continue
        read = read_records(file, name, list(COLUMNS))
        faults += read.faults
        if read.has_missed:
            broken.miss(name)
        for record in read.records:
            statement, more = read_line(record.cells, local, record.place)
            on_record(1)
            faults += more
            if statement is not None:
                if_new = limit_faults(record.cells, record.place)
                lines.append(Line(statement, record.place, record.number, if_new))
            else:
                broken.learn(name, record.cells)
    return lines, files, faults, broken
