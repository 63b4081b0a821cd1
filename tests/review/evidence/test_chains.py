"""Bundles of ledgers that have lived a little: two chains, erased names, redacted exhibits."""

from __future__ import annotations

import csv
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.record.statements import (
    CaseExhibit,
    CaseStatement,
    Concern,
    Ruling,
    Statement,
    Withdraw,
)
from ledger.review.evidence.archive import read_bundle
from ledger.review.evidence.pack import pack_case
from ledger.say.bundles import bundle_texts
from ledger.store.erasure import redact
from ledger.store.recording import record_statement
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign_in_ink, show_list
from tests.make_sample_season import FOLDER
from tests.review.evidence.checkers import alone_verdict, own_verdict
from tests.sample.office import EXHIBIT
from tests.signed_season import CASE, CHAIN, season

AT = "2026-09-22T15:00:00.000Z"
GAME = "acorn-3b"


def named(player: str) -> str:
    with (FOLDER / "players.csv").open(encoding="utf-8", newline="") as lines:
        return next(row["name"] for row in csv.DictReader(lines) if row["player"] == player)


def holds(
    store: SqliteStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *words: str
) -> set[str]:
    """The paths in the case's bundle, which both checkers accept."""
    path = tmp_path / "bundle.zip"
    path.write_bytes(pack_case(store, CASE, bundle_texts, words=words).data)
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
        assert pack_case(store, CASE, bundle_texts).absent == (before,)
    assert [p for p in paths if "exhibits/" in p] == [f"data/exhibits/{after}.txt"]


def test_what_was_withdrawn_names_no_child_and_brings_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A ruling named k548 by mistake, and another child's sheet was handed in: both withdrawn.

    The statements stay in the bundle. A withdrawal that was itself withdrawn takes nothing back.
    """
    wrong, more = b"the sheet of another child", {"at": AT, "entered": AT, "by": "registrar"}
    digest = sha256(wrong).hexdigest()

    def states(store: SqliteStore, statement: Statement) -> str:
        with store.writing() as writing:
            return record_statement(writing, statement, chain=CHAIN)

    def shown(store: SqliteStore) -> tuple[bool, bool]:
        there = holds(store, tmp_path, monkeypatch, "name")
        data = (tmp_path / "bundle.zip").read_bytes()
        assert digest.encode() in data
        return named("k548").encode() in data, f"data/exhibits/{digest}.txt" in there

    with season(tmp_path / "s") as store:
        by_mistake = [
            Ruling(**more, case=CASE, value="denied", player="k548"),
            CaseExhibit(**more, case=CASE, value=digest),
        ]
        with store.writing() as writing:
            writing.keep_exhibit(digest, "sheet.txt", wrong)
        made = [states(store, one) for one in by_mistake]
        assert shown(store) == (True, True)
        gone = [states(store, Withdraw(**more, target=one, reason="mistaken")) for one in made]
        assert shown(store) == (False, False)
        packed = pack_case(store, CASE, bundle_texts)
        assert {*made, *gone} <= {event.id for event in packed.checked.events}
        assert (packed.withdrawn, packed.absent) == ((digest,), ())
        for one in gone:
            states(store, Withdraw(**more, target=one, reason="it was right"))
        assert shown(store) == (True, True)


def test_a_copy_of_what_was_withdrawn_stays_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sha256(EXHIBIT.encode()).hexdigest()
    with season(tmp_path / "s") as store:
        redact(store, before, b"redacted", "copy.txt", by="registrar", reason="a name", chain=CHAIN)
        (target,) = (s.event.id for s in store.events(kind=["case_exhibit"], subject=[CASE]))
        taken = Withdraw(at=AT, entered=AT, by="registrar", target=target, reason="mistaken")
        with store.writing() as writing:
            record_statement(writing, taken, chain=CHAIN)
        assert not [p for p in holds(store, tmp_path, monkeypatch) if "exhibits/" in p]


def test_a_scan_goes_along_where_it_was_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scan = f"data/exhibits/{sha256(b'%PDF-1.7 a scan').hexdigest()}.pdf"
    with season(tmp_path / "s") as store:
        shown = show_list(store, GAME, "quokkas", "quokkas-wm1", chain=CHAIN)
        signed = countersign_in_ink(store, shown, b"%PDF-1.7 a scan", "list of the quokkas.pdf")
        assert scan not in holds(store, tmp_path, monkeypatch)
        assert scan in holds(store, tmp_path, monkeypatch, "scan")
        with store.writing() as writing:
            taken = Withdraw(
                at=AT, entered=AT, by="quokkas-wm1", target=signed, reason="other scan"
            )
            record_statement(writing, taken, chain=CHAIN)
        assert scan not in holds(store, tmp_path, monkeypatch, "scan")


def test_what_was_erased_stays_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with season(tmp_path / "s") as store:
        with store.writing() as writing:
            said = CaseStatement(
                at=AT, entered=AT, by="registrar", case=CASE, note="a word too much"
            )
            event_id = record_statement(writing, said, chain=CHAIN)
        assert b"a word too much" in pack_case(store, CASE, bundle_texts, words=("note",)).data
        with store.writing() as writing:
            writing.drop_disclosures([event_id])
        assert b"a word too much" not in pack_case(store, CASE, bundle_texts, words=("note",)).data
        assert holds(store, tmp_path, monkeypatch, "note")
