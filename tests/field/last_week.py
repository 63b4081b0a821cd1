"""The sample season as it stands on the eve of its last Saturday: nothing of 17 October is stated.

`python -m tests.field.last_week LEDGER` makes one to try the page with; open it with
`?date=2026-10-17`. All weighmasters have keys, which PASSPHRASE opens.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.witness.officials import enroll
from tests.make_sample_season import FOLDER
from tests.once import made_once

DATE = "2026-10-17"
PASSPHRASE = "invented words"
KEYED = ("newts-wm1", "newts-wm2", "marmots-wm1", "marmots-wm2", "pangolins-wm1", "acorn-president")
_LEDGER = "season.weighbook"


def make_ledger(path: Path) -> None:
    """A copy of its own at `path`."""
    shutil.copy(made_once("last week", _make) / _LEDGER, path)


def _make(folder: Path) -> None:
    season = folder / "season"
    shutil.copytree(FOLDER, season)
    for day in (season / "days").glob("2026-*.csv"):
        if day.stem >= DATE:
            day.unlink()
    with open_or_make(folder / _LEDGER) as store:
        with store.writing() as writing:
            load_folder(writing, read_folder(season), chain="office")
        for official in KEYED:
            enroll(store, official, PASSPHRASE, by="registrar", chain="office")


if __name__ == "__main__":
    make_ledger(Path(sys.argv[1]))
