"""The sample season as it stands on the eve of its last Saturday: nothing of 17 October is stated.

`python -m tests.field.last_week LEDGER` makes one to try the page with; open it with
`?date=2026-10-17`. KEYED have keys, which `site.PASSPHRASE` opens.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from tests.field.site import LEDGER, Site, give_keys
from tests.make_sample_season import FOLDER
from tests.once import made_once

DATE = "2026-10-17"
KEYED = ("newts-wm1", "newts-wm2", "marmots-wm1", "marmots-wm2", "pangolins-wm1", "board-1")


def make_ledger(path: Path) -> None:
    """A copy of its own at `path`."""
    shutil.copy(made_once("last week", _make) / LEDGER, path)


def _make(folder: Path) -> None:
    season = folder / "season"
    shutil.copytree(FOLDER, season)
    for day in (season / "days").glob("2026-*.csv"):
        if day.stem >= DATE:
            day.unlink()
    with open_or_make(folder / LEDGER) as store, store.writing() as writing:
        load_folder(writing, read_folder(season), chain="office")
    give_keys(folder / LEDGER, KEYED)


class LastWeek(Site):
    """A server over such a ledger."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        make_ledger(self.ledger)


if __name__ == "__main__":
    make_ledger(Path(sys.argv[1]))
