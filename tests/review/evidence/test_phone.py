"""A bundle whose list was signed on a phone: both checkers check what the phone signed."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.actions.asking import Acting
from ledger.actions.phone_signing import sign_with_phone
from ledger.actions.signing import show_list
from ledger.review.evidence import check_bundle as alone
from ledger.review.evidence.archive import read_bundle
from ledger.review.evidence.pack import pack_case
from ledger.say.bundles import bundle_texts
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.store.trees import Trees
from ledger.witness.phone_keys import enroll_phone, read_phone_key
from tests.once import made_once
from tests.phone import Phone
from tests.review.evidence.checkers import alone_verdict, own_verdict
from tests.review.evidence.conftest import GAME, _make
from tests.signed_season import CASE, LEDGER

SIGNER = "quokkas-wm1"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    path = tmp_path / LEDGER
    shutil.copy(made_once("evidence", _make) / LEDGER, path)
    opened = open_store(path)
    yield opened
    opened.close()


def test_what_the_phone_signed_is_checked(
    store: SqliteStore, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    origin = next(iter(store.events(kind=["chain_key"]))).event.data["origin"]
    phone = Phone(SIGNER, origin)
    enroll_phone(store, read_phone_key(SIGNER, phone.line, phone.proof), by="registrar")
    trees = Trees(store)
    trees.catch_up()
    phone.seen = trees.others("")
    shown = show_list(store, GAME, "marmots", SIGNER).shown
    signature = phone.signature(origin, GAME, "marmots", shown.number)
    acting = Acting(despite=frozenset(shown.settling.codes))
    event = sign_with_phone(store, shown, signature, phone.seen, acting)

    packed = pack_case(store, CASE, bundle_texts)
    path = tmp_path / "bundle.zip"
    path.write_bytes(packed.data)
    assert own_verdict(path) == []
    assert alone_verdict(path, monkeypatch) == 0
    _, keys, events, _ = alone.check_proof(read_bundle(path)["data/events.json"])
    (key,) = alone.read_phone(events[event], keys, events)
    assert key["line"] == phone.line
    seq, about = events[event]["seq"], {"kind": "key_revoked", "chain": events[event]["chain"]}
    revoked = about | {"data": {"key": phone.line}}
    assert alone.read_phone(events[event], keys, events | {"later": revoked | {"seq": seq + 1}})
    with pytest.raises(alone.Fault, match="did not sign this"):
        alone.read_phone(events[event], keys, events | {"before": revoked | {"seq": seq - 1}})
    events[event]["data"]["list"] = "ab" * 32
    with pytest.raises(alone.Fault, match="did not sign this"):
        alone.read_phone(events[event], keys, events)
