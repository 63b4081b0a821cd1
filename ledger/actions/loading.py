"""Load a season folder into a ledger."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ledger.actions.asking import ACTING, Acting, ask_about
from ledger.record.folder import Folder
from ledger.record.questions import questions_of_folder
from ledger.say.new_season import TO_SETTLE, points_in
from ledger.store.loaded import read_loaded
from ledger.store.loading import LoadCount, load_folder
from ledger.store.opening import open_or_make, open_store


def load(
    where: Path,
    folder: Folder,
    *,
    acting: Acting = ACTING,
    tell: Callable[[str], object] | None = None,
) -> LoadCount:
    """Load all of a folder (`ledger.record.folder.read_readable`) or none of it.

    The ledger is at `where`, or made there. Asks about texts that it does not contain yet.
    FolderError with every fault. `tell` gets a line if the file is upgraded.
    """
    asked = [] if folder.faults else list(questions_of_folder(folder))
    if asked and where.exists():
        store = open_store(where, tell=tell)
        try:
            loaded = read_loaded(store)
        finally:
            store.close()
        asked = [(key, question) for key, question in asked if not loaded.holds(key)]
    ask_about([question for _, question in asked], acting)
    with open_or_make(where, tell=tell) as store, store.writing() as writing:
        return load_folder(writing, folder, chain=acting.writes_to)


def points_to_settle(folder: Path) -> int | None:
    """How many points are left in the folder's list of what to settle; None without a list."""
    file = folder / TO_SETTLE
    if not file.is_file():
        return None
    return points_in(file.read_text(encoding="utf-8", errors="replace"))
