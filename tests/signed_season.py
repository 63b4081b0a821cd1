"""The sample season in a ledger, with the game acorn-1a signed by keys of both sides.

Four countersignatures: marmots-wm3 and newts-wm1 each sign both teams' lists. The exhibit of the
case late-plays is kept. Everything that was recorded has the clock of the machine.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

from ledger.chain.note import format_note
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make, open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign, show_list
from ledger.witness.officials import enroll, unlock
from tests.make_sample_season import FOLDER
from tests.once import made_once
from tests.sample.office import EXHIBIT

GAME, CASE, CHAIN = "acorn-1a", "late-plays", "office"
SIGNERS = ("marmots-wm3", "newts-wm1")
LEDGER = "season.weighbook"
PASSPHRASE = "invented words"
REGISTRAR = "registrar"


@contextmanager
def season(path: Path, *, signed: bool = True) -> Iterator[SqliteStore]:
    """A copy of its own at `path`."""
    made = _made(signed)
    shutil.copy(made / LEDGER, path)
    store = open_store(path)
    try:
        yield store
    finally:
        store.close()


def receipt() -> bytes:
    """What the first who signed took home."""
    return (_made(True) / "receipt.txt").read_bytes()


def _made(signed: bool) -> Path:
    if signed:
        return made_once("signed", _make_signed)
    return made_once("season", _make)


def _make(folder: Path) -> None:
    with open_or_make(folder / LEDGER) as store, store.writing() as writing:
        load_folder(writing, read_folder(FOLDER), chain=CHAIN)
        content = EXHIBIT.encode()
        writing.keep_exhibit(sha256(content).hexdigest(), "sheet.txt", content)


def _make_signed(folder: Path) -> None:
    _make(folder)
    with open_or_make(folder / LEDGER) as store:
        (folder / "receipt.txt").write_bytes(_sign(store))


def _sign(store: SqliteStore) -> bytes:
    notes = []
    for official in SIGNERS:
        enroll(store, official, PASSPHRASE, by=REGISTRAR, chain=CHAIN)
    for official in SIGNERS:
        key, private = unlock(store, official, PASSPHRASE)
        for team in ("newts", "marmots"):
            shown = show_list(store, GAME, team, official, chain=CHAIN)
            notes.append(countersign(store, shown, key, private).note)
    return format_note(notes[0])
