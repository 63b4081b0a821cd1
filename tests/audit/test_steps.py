"""The audit's parts: quick proof and look at every row, two processes, trees, lists, copies."""

from __future__ import annotations

import gzip
import io
import json
import sqlite3
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.audit import audit as audit_module
from ledger.audit.audit import audit, audit_file
from ledger.audit.kept import NAME, read_kept
from ledger.audit.links import SAME
from ledger.audit.quick import join_runs, prove_rows
from ledger.audit.second import begin_half
from ledger.audit.tree import BLOCK, Tree, block_roots
from ledger.chain.canonical import canonical
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.chain.keys import make_key
from ledger.chain.merkle import root
from ledger.chain.note import VerifierKey, format_note, format_verifier_key
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import render_sheet
from ledger.papers.sheets.lists import list_sheet
from ledger.record.accepted import Accepted
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.countersign import countersign_in_ink, show_list
from ledger.witness.proof import pack_proof
from tests.audit.attacks.anew import Body
from tests.audit.attacks.attack import Hand, opened, whole_file
from tests.audit.attacks.rebuilds import MEANS, rebuild
from tests.audit.attacks.schema import GUARDS
from tests.audit.attacks.victim import victim
from tests.signed_season import CHAIN, GAME, receipt, season
from tests.tiny import tiny_store, write_folder
from tests.witness.small import small_proof


@pytest.fixture(scope="module")
def signed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    path = tmp_path_factory.mktemp("signed") / "season.weighbook"
    with season(path):
        yield path


# Steps 1 and 2


def test_two_processes_find_what_one_finds(signed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one = audit_file(signed)
    monkeypatch.setattr(audit_module, "WORTH_TWO", 1000)
    counts: list[int] = []
    two = audit_file(signed, on_start=counts.append, on_step=lambda more: counts.append(-more))
    assert one == two
    assert counts[0] == 7_352
    assert -sum(counts[1:]) >= 6_000


@pytest.mark.parametrize("position", [10, 7_000])
def test_what_either_process_finds_wrong_is_explained(
    signed: Path, tmp_path: Path, position: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "changed.weighbook"
    path.write_bytes(signed.read_bytes())
    connection = sqlite3.connect(path)
    connection.execute("drop trigger event_update")
    connection.execute("update event set body = body || ' ' where position = ?", (position,))
    connection.commit()
    connection.close()
    one = audit_file(path)
    monkeypatch.setattr(audit_module, "WORTH_TWO", 1000)
    assert audit_file(path) == one
    assert position in {problem.seq for problem in one.problems}


def test_a_second_process_that_dies_leaves_the_close_look(signed: Path, tmp_path: Path) -> None:
    assert begin_half(tmp_path / "no such file", 1, 10)() is None


def test_the_halves_must_fit(signed: Path) -> None:
    connection = sqlite3.connect(signed)
    first, second, after = (
        prove_rows(connection, *ends, id) for ends in ((1, 2048), (2049, 4000), (2051, 4000))
    )
    connection.close()
    assert first is not None
    assert second is not None
    assert after is not None
    joined = join_runs([first, second], BEGINNING)
    assert joined is not None
    assert joined[0].last_seq == 4000
    assert join_runs([first, after], BEGINNING) is None
    assert join_runs([second, first], BEGINNING) is None


def test_rows_that_are_not_there_are_not_proved(signed: Path) -> None:
    connection = sqlite3.connect(signed)
    assert prove_rows(connection, 1, 7_353, id) is None
    connection.close()


@pytest.mark.parametrize("salt", ["A" * 22 + "\n" + "B" * 22, "A" * 21, "A" * 22 + "\n"])
def test_a_salt_of_another_form_is_not_proved(tmp_path: Path, salt: str) -> None:
    """Its hash and links are right: anyone with the file can write such an event."""
    with tiny_store(write_folder(tmp_path / "season")) as store:
        (position, body, last, clock) = store.connection.execute(
            "select position, body, hash, clock from event order by position desc"
        ).fetchone()
        forged = json.loads(body)
        forged |= {"salt": salt, "seq": forged["seq"] + 1, "prev": last.hex(), "kind": "close"}
        forged |= {"data": {}}
        data = canonical(forged)
        row = {name: forged.get(name) for name in SAME} | {"body": data.decode()}
        row |= {"position": position + 1, "clock": clock, "prev": last, "hash": leaf_hash(data)}
        store.connection.execute(
            f"insert into event ({', '.join(row)}) values (:{', :'.join(row)})", row
        )
        assert prove_rows(store.connection, 1, position + 1, id) is None
        assert [one.seq for one in audit(store.connection).problems] == [forged["seq"]]


def test_a_clock_that_went_back_is_a_note(tmp_path: Path) -> None:
    with tiny_store(write_folder(tmp_path / "season")) as store:
        store.clock = lambda: "2020-01-01T00:00:00.000Z"
        with store.writing() as writing:
            writing.append([Accepted("close", {}, at=_AT, entered=_AT, by="we")], chain="office")
        report = audit(store.connection)
    assert report.ok
    assert "the ledger's clock went back at office:21" in report.notes


_AT = "2026-09-05T13:40:00.000Z"


# Step 3


@given(st.integers(0, 3 * BLOCK), st.data())
def test_the_root_at_any_size(size: int, data: st.DataObject) -> None:
    leaves = [number.to_bytes(32, "big") for number in range(size)]
    split = data.draw(st.integers(0, size))
    joined = b"".join(leaves)
    blocks = block_roots(joined[: split * 32], 0) | block_roots(joined[split * 32 :], split)
    assert set(blocks) <= set(range(size // BLOCK))
    wanted = data.draw(st.integers(0, size))
    assert Tree(joined, blocks).root(wanted) == root(leaves[:wanted])


# Steps 4 and 5


def test_what_is_not_yet_witnessed_is_a_note() -> None:
    notes = audit(opened(whole_file())).notes
    assert "2 events since office:51 are not yet witnessed" in notes
    # Its own last checkpoint covers 4 events; the office's last one names 5.
    assert "2 events since tent:5 are not yet witnessed" in notes


def test_a_list_struck_off_and_withdrawn_in_another_chain_is_derived_too(tmp_path: Path) -> None:
    """The writer signs the list of the whole ledger, and the audit derives the same."""
    with tiny_store(write_folder(tmp_path / "season")) as store:
        line = {"by": "wa", "game": "g1", "team": "ash"}
        _append(store, CHAIN, Accepted("list", {"reason": "absent"}, {}, _AT, _AT, player="a1",
                                       **line))  # fmt: skip
        _append(store, CHAIN, Accepted("list", {"reason": "over"}, {}, _AT, _AT, player="a2",
                                       **line))  # fmt: skip
        later = _AT.replace("13:", "14:")
        origin = "invented-league/2026/tent"
        key = format_verifier_key(VerifierKey(origin, make_key().public))
        _append(store, "tent", Accepted("chain_key", {"origin": origin, "key": key}))
        _append(store, "tent", Accepted("strike_off", {}, {}, later, later, player="a1", **line))
        _append(store, "tent", Accepted("withdraw", {"target": "office:22"}, {}, later, later,
                                        by="wa"))  # fmt: skip
        shown = show_list(store, "g1", "ash", "we", chain=CHAIN)
        assert [row["strike_id"] for row in shown.rows] == ["tent:2"]
        countersign_in_ink(store, shown, b"%PDF- a scan", "scan.pdf")
        assert audit(store.connection).problems == []


def _append(store: SqliteStore, chain: str, statement: Accepted) -> None:
    with store.writing() as writing:
        writing.append([statement], chain=chain)


# Step 7


def test_a_receipt_a_paper_a_bundle_and_a_proof(signed: Path, tmp_path: Path) -> None:
    note = receipt()
    files = {
        "receipt.txt": note,
        "bundle.zip": _zipped({
            "a-case/bagit.txt": b"",
            "a-case/data/checkpoint.txt": note,
            "a-case/data/checkpoints/office-7349.txt": note,
        }),
        "two.proof": _proof(signed),
        "list.pdf": _paper(tmp_path),
    }  # fmt: skip
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    report = audit_file(signed, since=[tmp_path / name for name in files])
    assert report.problems == []
    assert (report.kept, report.verdict.anchored) == (6, True)
    notes = report.steps[6].notes
    assert notes[0].endswith("cosigned by marmots-wm3")
    assert notes[-1].startswith("list.pdf: its checkpoint covers the first 7,352 events of ")


def test_a_copy_of_one_chain_fixes_others_as_far_as_its_countersignatures_name_them() -> None:
    """Only the office's last receipt fixes events of the tent: its first five."""
    latest = max(
        (one for one in victim().kept if one.checkpoint.origin.endswith("/office")),
        key=lambda one: one.checkpoint.size,
    )
    notes = audit(opened(whole_file()), since=[latest]).steps[6].notes
    assert notes[1:] == [
        "2 events after office:51 are in no copy",
        "2 events after tent:5 are in no copy",
    ]
    rewritten = opened(whole_file())
    rebuild("tent", 3, _another_value, MEANS[1], Hand(_unguarded(rewritten), victim()),
            fits_others=False)  # fmt: skip
    found = audit(rewritten, since=[latest]).problems
    assert ("tent", 5, "fork") in {problem[:3] for problem in found}


def _another_value(body: Body) -> None:
    body["data"]["value"] = "over"


def _unguarded(connection: sqlite3.Connection) -> sqlite3.Connection:
    for guard in GUARDS:
        connection.execute(f"drop trigger {guard}")
    return connection


def _proof(signed: Path) -> bytes:
    """A proof of two countersignatures: the latest checkpoint and the earlier one."""
    store = open_store(signed)
    try:
        return pack_proof(small_proof(store))
    finally:
        store.close()


def _paper(folder: Path) -> bytes:
    with season(folder / "printed.weighbook") as store:
        render_sheet(list_sheet(Heads(store), GAME, "newts"), folder / "paper.pdf")
    return (folder / "paper.pdf").read_bytes()


def _zipped(files: dict[str, bytes], method: int = zipfile.ZIP_STORED) -> bytes:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", method) as bundle:
        for name, content in files.items():
            bundle.writestr(name, content)
    return whole.getvalue()


PHONE = b'{"weighbook":"other ledger","seen":'
NO_CHECKPOINT = {
    "nothing": b"",
    "text": b"no note",
    "a broken PDF": b"%PDF-1.7 broken",
    "a broken zip": b"PK\x03\x04 broken",
    "a broken gzip": b"\x1f\x8b broken",
    "a zip without one": _zipped({"data/other.txt": b"x"}),
    "a zip with another file of that name": _zipped({NAME: b"no note"}),
    "a zip packed with bzip2": _zipped({NAME: b"no note"}, zipfile.ZIP_BZIP2),
    "a damaged zip packed with bzip2": _zipped({NAME: b"no note"}, zipfile.ZIP_BZIP2).replace(
        b"BZh", b"BZx"
    ),
    "a damaged zip packed with LZMA": _zipped({NAME: b"no note"}, zipfile.ZIP_LZMA).replace(
        b"\x05\x00\x5d", b"\x05\x00\xff"
    ),
    "another gzip": gzip.compress(b"[]"),
    "a proof of nothing": gzip.compress(b'{"chains": []}'),
    "a broken file of a phone": b'{"weighbook":"other ledger"',
    "a phone that saw nothing": b'{"weighbook":"other ledger","seen":{"office":{"size":3}}}',
}


@pytest.mark.parametrize("content", NO_CHECKPOINT.values(), ids=NO_CHECKPOINT)
def test_what_holds_no_checkpoint_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "kept"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_kept(path)
    assert "kept" in caught.value.message
    assert caught.value.hint


@given(
    st.sampled_from([b"", b"%PDF-", b"PK\x03\x04", b"\x1f\x8b\x08", PHONE]), st.binary(max_size=300)
)
def test_any_bytes_hold_checkpoints_or_are_refused(
    tmp_path_factory: pytest.TempPathFactory, begin: bytes, rest: bytes
) -> None:
    path = tmp_path_factory.getbasetemp() / "any"
    path.write_bytes(begin + rest)
    with pytest.raises(InputError):
        read_kept(path)


def test_a_copy_of_another_ledger_is_found(signed: Path, tmp_path: Path) -> None:
    path = tmp_path / "receipt.txt"
    path.write_bytes(format_note(victim().kept[0].note))
    (problem,) = audit_file(signed, since=[path]).problems
    assert problem[:3] == ("office", 27, "unknown key")
    assert "which is not a chain of this ledger" in problem.detail


def test_a_changed_receipt_is_found(signed: Path, tmp_path: Path) -> None:
    path = tmp_path / "receipt.txt"
    path.write_bytes(receipt().replace(b"\n7349\n", b"\n7350\n"))
    found = {problem.problem for problem in audit_file(signed, since=[path]).problems}
    assert found == {"bad signature", "fork"}
