"""The form of a proof: each proof has one form, and no other is read."""

from __future__ import annotations

import gzip
import json
import zlib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import InputError, IntegrityError
from ledger.say.proofs import sections, sentence
from ledger.store.sqlite.store import SqliteStore
from ledger.witness import proof as proof_module
from ledger.witness.check import check_proof
from ledger.witness.proof import HEADER, Proof, format_proof, pack_proof, parse_proof, unpack_proof
from tests.chain.mutation import damaged_bytes
from tests.witness.small import small_proof

SOME = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@pytest.fixture(scope="module")
def proof(signed: SqliteStore) -> Proof:
    return small_proof(signed)


def canonical_json(value: Any) -> bytes:
    """RFC 8785 for a proof's keys and values, without the code under test."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode()


def test_what_was_written_is_read(proof: Proof) -> None:
    assert parse_proof(format_proof(proof)) == proof
    assert unpack_proof(pack_proof(proof)) == proof


def test_any_gzip_reads_the_file(proof: Proof) -> None:
    assert gzip.decompress(pack_proof(proof)) == format_proof(proof)


Change = Callable[[dict[str, Any]], object]
CHANGES: dict[str, Change] = {
    "another format": lambda whole: whole.update(format="weighbook"),
    "another version": lambda whole: whole.update(v=2),
    "a version that is true": lambda whole: whole.update(v=True),
    "one key more": lambda whole: whole.update(more=[]),
    "one key less": lambda whole: whole.pop("keys"),
    "keys not sorted": lambda whole: whole["keys"].reverse(),
    "a key twice": lambda whole: whole["keys"].append(whole["keys"][-1]),
    "a key that is no text": lambda whole: whole["keys"].append(1),
    "a chain twice": lambda whole: whole["chains"].append(whole["chains"][0]),
    "a hash not in use": lambda whole: whole["hashes"].append("A" * 43 + "="),
    "a hash twice": lambda whole: whole["hashes"].append(whole["hashes"][0]),
    "a short hash": lambda whole: whole["hashes"].append("AAAA"),
    "hashes in another order than that of use": lambda whole: reorder(whole),
    "base64 with stray bits": lambda whole: whole["hashes"].append("A" * 42 + "B="),
    "a place outside the table": lambda whole: events(whole)[0]["proof"].append(10_000),
    "a place before the table": lambda whole: events(whole)[0]["proof"].append(-1),
    "a place that is true": lambda whole: events(whole)[0]["proof"].append(True),
    "a place that is text": lambda whole: events(whole)[0]["proof"].append("1"),
    "an event that is an object": lambda whole: events(whole)[0].update(event={}),
    "an event with more": lambda whole: events(whole)[0].update(remark=""),
    "a disclosure that is a list": lambda whole: whole["disclosures"].append([]),
    "chains that are an object": lambda whole: whole.update(chains={}),
}


def events(whole: dict[str, Any]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = whole["chains"][0]["events"]
    return found


def reorder(whole: dict[str, Any]) -> None:
    """The same proof in another order."""
    last = len(whole["hashes"]) - 1
    whole["hashes"].reverse()
    for part in whole["chains"]:
        for one in (*part["earlier"], *part["events"]):
            one["proof"] = [last - place for place in one["proof"]]


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_another_form_is_refused(proof: Proof, change: Change) -> None:
    whole = json.loads(format_proof(proof))
    change(whole)
    with pytest.raises(InputError):
        parse_proof(canonical_json(whole))


@SOME
@given(data=st.data())
def test_damaged_bytes_are_refused_or_do_not_hold(proof: Proof, data: st.DataObject) -> None:
    damaged = data.draw(damaged_bytes(format_proof(proof)))
    try:
        checked = check_proof(parse_proof(damaged))
    except InputError:
        return
    assert not checked.ok
    assert sections(checked)[0].lines
    assert "Do not rely" in sentence(checked)


@given(data=st.one_of(st.binary(max_size=200), st.binary(max_size=80).map(lambda b: HEADER + b)))
def test_any_bytes_give_our_errors_only(data: bytes) -> None:
    for read in (parse_proof, unpack_proof):
        with pytest.raises((InputError, IntegrityError)):
            read(data)


@SOME
@given(data=st.data())
def test_a_damaged_file_is_refused(proof: Proof, data: st.DataObject) -> None:
    """Also where gzip itself ignores it: in the header, and after the end."""
    damaged = data.draw(damaged_bytes(pack_proof(proof)))
    with pytest.raises((InputError, IntegrityError)):
        unpack_proof(damaged)


def test_a_small_file_cannot_fill_the_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(proof_module, "MOST_BYTES", 1_000_000)
    bomb = zlib.compress(bytes(50_000_000), wbits=-15)
    assert len(bomb) < 60_000
    with pytest.raises(InputError, match="more than 1,000,000"):
        unpack_proof(HEADER + bomb)


def test_a_deeply_nested_file_is_refused() -> None:
    with pytest.raises(InputError):
        parse_proof(b'{"a":' + b"[" * 900 + b"]" * 900 + b"}")
