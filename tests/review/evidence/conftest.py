"""One bundle for all tests: the case late-plays, whose game both sides signed with keys."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from ledger.papers.press.heads import Heads
from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.review.evidence.archive import read_bundle
from ledger.review.evidence.pack import Packed, pack_case
from ledger.say.bundles import bundle_texts
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign, show_list
from ledger.witness.officials import enroll, unlock
from tests.once import made_once
from tests.signed_season import CASE, CHAIN, LEDGER, PASSPHRASE, REGISTRAR, season

GAME = "acorn-3b"
SIGNERS = ("marmots-wm3", "quokkas-wm1")


@pytest.fixture(scope="session")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """The sample season, with acorn-3b countersigned too; for reading."""
    path = tmp_path_factory.mktemp("evidence") / LEDGER
    shutil.copy(made_once("evidence", _make) / LEDGER, path)
    store = open_store(path)
    yield store
    store.close()


def _make(folder: Path) -> None:
    with season(folder / LEDGER) as store:
        enroll(store, SIGNERS[1], PASSPHRASE, by=REGISTRAR, chain=CHAIN)
        for official in SIGNERS:
            key, private = unlock(store, official, PASSPHRASE)
            for team in ("marmots", "quokkas"):
                shown = show_list(store, GAME, team, official, chain=CHAIN)
                countersign(store, shown, key, private)


@dataclass(frozen=True)
class Bundle:
    """A bundle as bytes and as files by their path in the bag."""

    packed: Packed
    files: dict[str, bytes]


@pytest.fixture(scope="session")
def bundle(ledger: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Bundle:
    """With the names, remarks and exhibit of the case, and a packet."""
    words = ("name", "note", "reason")
    packet = typeset_sheet(packet_sheet(Heads(ledger), CASE))
    packed = pack_case(ledger, CASE, bundle_texts, words=words, packet=packet)
    path = tmp_path_factory.mktemp("bundle") / "bundle.zip"
    path.write_bytes(packed.data)
    return Bundle(packed, read_bundle(path))
