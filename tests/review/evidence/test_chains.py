"""Bundles of ledgers that have lived a little: two chains, erased names, redacted exhibits."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import pytest

from ledger.record.statements import CaseStatement, Concern
from ledger.review.evidence.pack import pack_case
from ledger.review.evidence.reading import read_bundle
from ledger.store.erasure import redact
from ledger.store.intake import record_statement
from ledger.store.sqlite import SqliteStore
from ledger.witness.countersign import countersign_in_ink, show_list
from tests.review.evidence.checkers import alone_verdict, own_verdict
from tests.sample.office import EXHIBIT
from tests.signed_season import CASE, CHAIN, season

AT = "2026-09-22T15:00:00.000Z"
GAME = "acorn-3b"


def holds(
    store: SqliteStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *words: str
) -> set[str]:
    """The paths in the case's bundle, which both checkers accept."""
    path = tmp_path / "bundle.zip"
    path.write_bytes(pack_case(store, CASE, words=words).data)
    assert own_verdict(path) == []
    assert alone_verdict(path, monkeypatch) == 0
    return set(read_bundle(path))


def test_two_chains(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a device at the field stated of the game is proved under that chain's own key."""
    with season(tmp_path / "s") as store:
        with store.writing() as writing:
            concern = Concern(at=AT, entered=AT, by="quokkas-wm1", game=GAME, reason="cleats")
            record_statement(writing, concern, chain="field")
        paths = holds(store, tmp_path, monkeypatch)
        store.connection.execute("delete from key where name like '%/office'")
        assert holds(store, tmp_path, monkeypatch)  # signed by the other chain's key
    assert {p.rpartition("-")[0] for p in paths if "checkpoints/" in p} == {
        "data/checkpoints/field", "data/checkpoints/office",
    }  # fmt: skip


def test_a_redacted_exhibit_goes_along_as_its_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, after = sha256(EXHIBIT.encode()).hexdigest(), sha256(b"redacted").hexdigest()
    with season(tmp_path / "s") as store:
        redact(store, before, b"redacted", "copy.txt", by="registrar", reason="a name", chain=CHAIN)
        paths = holds(store, tmp_path, monkeypatch)
        assert pack_case(store, CASE).absent == (before,)
    assert [p for p in paths if "exhibits/" in p] == [f"data/exhibits/{after}.txt"]


def test_a_scan_goes_along_where_it_was_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scan = f"data/exhibits/{sha256(b'%PDF-1.7 a scan').hexdigest()}.pdf"
    with season(tmp_path / "s") as store:
        shown = show_list(store, GAME, "quokkas", "quokkas-wm1", chain=CHAIN)
        countersign_in_ink(store, shown, b"%PDF-1.7 a scan", "list of the quokkas.pdf")
        assert scan not in holds(store, tmp_path, monkeypatch)
        assert scan in holds(store, tmp_path, monkeypatch, "scan")


def test_what_was_erased_stays_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with season(tmp_path / "s") as store:
        with store.writing() as writing:
            said = CaseStatement(
                at=AT, entered=AT, by="registrar", case=CASE, note="a word too much"
            )
            event_id = record_statement(writing, said, chain=CHAIN)
        assert b"a word too much" in pack_case(store, CASE, words=("note",)).data
        with store.writing() as writing:
            writing.drop_disclosures([event_id])
        assert b"a word too much" not in pack_case(store, CASE, words=("note",)).data
        assert holds(store, tmp_path, monkeypatch, "note")
