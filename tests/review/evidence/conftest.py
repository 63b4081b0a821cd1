"""One bundle for all tests: the case late-plays, whose game both sides signed with keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.review.evidence.pack import Packed, pack_case
from ledger.review.evidence.reading import read_bundle
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign, show_list
from ledger.witness.officials import enroll, unlock
from tests.signed_season import CASE, CHAIN, PASSPHRASE, REGISTRAR, season

GAME = "acorn-3b"
SIGNERS = ("marmots-wm3", "quokkas-wm1")


@pytest.fixture(scope="session")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """The sample season, with acorn-3b countersigned too; for reading."""
    with season(tmp_path_factory.mktemp("evidence") / "season.weighbook") as store:
        enroll(store, SIGNERS[1], PASSPHRASE, by=REGISTRAR, chain=CHAIN)
        for official in SIGNERS:
            key, private = unlock(store, official, PASSPHRASE)
            for team in ("marmots", "quokkas"):
                shown = show_list(store, GAME, team, official, chain=CHAIN)
                countersign(store, shown, key, private)
        yield store


@dataclass(frozen=True)
class Bundle:
    """A bundle as bytes and as files by their path in the bag."""

    packed: Packed
    files: dict[str, bytes]


@pytest.fixture(scope="session")
def bundle(ledger: SqliteStore, tmp_path_factory: pytest.TempPathFactory) -> Bundle:
    """With the names, remarks and exhibit of the case, and a packet."""
    words = ("name", "note", "reason")
    packet = typeset_sheet(packet_sheet(ledger, CASE))
    packed = pack_case(ledger, CASE, words=words, packet=packet)
    path = tmp_path_factory.mktemp("bundle") / "bundle.zip"
    path.write_bytes(packed.data)
    return Bundle(packed, read_bundle(path))
