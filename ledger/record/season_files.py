"""Find the files of a season folder to read, and files whose name would hide them."""

from __future__ import annotations

from pathlib import Path

from ledger.errors import Fault, InputError
from ledger.record.league import FILE as LEAGUE_FILE
from ledger.record.reading import Place, shown
from ledger.record.tables import TABLES

DAYS = "days"
_SHEETS = frozenset({".xlsx", ".xls", ".xlsm", ".ods", ".numbers", ".tsv"})
_HIDDEN = (".", "~$")
"""Prefixes of hidden files and of an open spreadsheet's lock files."""
_READ_ABOVE = frozenset({LEAGUE_FILE, *(model.table for model in TABLES)})


def refuse_other_folder(path: Path) -> None:
    """Raise InputError unless this is a folder with some season file in it."""
    if not path.is_dir():
        hint = "Give the folder that contains league.toml."
        raise InputError(f"{path}: no such folder", hint=hint)
    if any((path / name).exists() for name in _READ_ABOVE):
        return
    within = sorted(str(file.parent) for file in path.glob(f"*/{LEAGUE_FILE}"))
    season = " or ".join(within) or "such as sample_season"
    raise InputError(
        f"{path}: this folder has no {LEAGUE_FILE} and no tables",
        hint=f"Give a season folder, {season}.",
    )


def day_files(path: Path) -> list[Path]:
    """Return the day files by name, without the files a Mac adds on a stick ("._1.csv")."""
    files = (file for file in _in_days(path) if file.name.endswith(".csv"))
    return [file for file in files if not file.name.startswith(_HIDDEN)]


def misnamed(path: Path) -> list[Fault]:
    """Return faults for files that seem meant to be read but would be skipped."""
    faults = []
    own = path / DAYS
    for file in _listed(path, "It is the season folder."):
        if file.name == DAYS or file.name.casefold() != DAYS:
            continue
        if not (own.exists() and own.samefile(file)):  # a disk may not tell Days from days
            right = f"the day files' folder in lowercase: {DAYS}"
            faults.append(Place(file.name).fault("", "a folder name that is not read", right))
    for file in _in_days(path):
        ending = file.suffix.casefold()
        found = ""
        if file.name.startswith(_HIDDEN):
            continue
        if ending == ".csv" and file.suffix != ".csv":
            found, right = f"a name that ends in {shown(file.suffix)}", ".csv in lowercase"
        elif ending in _SHEETS and not file.with_suffix(".csv").exists():
            found, right = "a spreadsheet", "the sheet saved as CSV (UTF-8, comma) next to it"
        if found:
            faults.append(Place(f"{DAYS}/{file.name}").fault("", found, right))
    return faults


def unread(path: Path) -> list[str]:
    """Return the visible files next to the season's files that are not read."""
    here = _listed(path, "It is the season folder.")
    tables = {file.name for file in here if file.suffix.casefold() in {".csv", *_SHEETS}}
    days = {f"{DAYS}/{file.name}" for file in _in_days(path) if not file.name.endswith(".csv")}
    return sorted(
        name for name in (tables - _READ_ABOVE) | days if not Path(name).name.startswith(_HIDDEN)
    )


def _in_days(path: Path) -> list[Path]:
    hint = "This folder is for day files. If you have none, remove it."
    return _listed(path / DAYS, hint) if (path / DAYS).exists() else []


def _listed(folder: Path, hint: str) -> list[Path]:
    try:
        return sorted(folder.iterdir(), key=lambda file: file.name)
    except OSError as error:
        raise InputError(f"{folder} cannot be read: {error.strerror}", hint=hint) from error
