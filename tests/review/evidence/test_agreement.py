"""The two checkers agree on whatever the keeper of a ledger, who has its key, might write."""

from __future__ import annotations

import copy
import json
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.chain.canonical import canonical
from ledger.errors import InputError
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.proof import Proof, parse_proof
from tests.review.evidence.checkers import (
    alone_verdict,
    own_verdict,
    signed_anew,
    with_proof,
    write_zip,
)
from tests.review.evidence.conftest import Bundle
from tests.signed_season import CHAIN
from tests.witness.rebuilding import LIES, Change, rebuilt

RANDOMS = st.integers(0, 2**32 - 1).map(Random)
"""Not st.randoms(): hypothesis 6.170 takes its own replay of long draws for flaky."""
OTHER = (None, [], {}, "", 0, True, -1, 1.5, "x")


def mutated(value: Any, random: Random) -> Any:
    """The value with one place in it changed, left out, repeated or turned around."""
    change = random.random()
    if isinstance(value, dict) and value:
        key = random.choice(sorted(value))
        if change < 0.1:
            return {k: v for k, v in value.items() if k != key}
        if change < 0.15:
            return value | {"more": 1}
        new = random.choice(OTHER) if change < 0.2 else mutated(value[key], random)
        return value | {key: new}
    if isinstance(value, list) and value:
        at = random.randrange(len(value))
        if change < 0.1:
            return value[:at] + value[at + 1 :]
        if change < 0.2:
            return [*value, copy.deepcopy(value[at])]
        if change < 0.25:
            return value[::-1]
        new = random.choice(OTHER) if change < 0.3 else mutated(value[at], random)
        return [*value[:at], new, *value[at + 1 :]]
    if isinstance(value, str) and value:
        at = random.randrange(len(value))
        letters = ("", random.choice('aZ0 \n"+/=é—\x1b') + value[at], chr(ord(value[at]) ^ 1))
        return value[:at] + random.choice(letters) + value[at + 1 :]
    return random.choice(OTHER)


@pytest.mark.long
@settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(random=RANDOMS)
def test_the_two_checkers_agree(
    ledger: SqliteStore,
    bundle: Bundle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    random: Random,
) -> None:
    whole = mutated(json.loads(bundle.files["data/events.json"]), random)
    text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    files = bundle.files | {"data/events.json": text.encode()}
    path = write_zip(tmp_path, signed_anew(ledger, files))
    # A text fewer that is disclosed shows only in README.txt and certification.txt, whose words the
    # checker in the bundle does not have (test_files_changed.py, OURS).
    found = [one for one in own_verdict(path) if "not as this version writes it" not in one]
    assert bool(found) == bool(alone_verdict(path, monkeypatch))


@pytest.fixture(scope="module")
def proof(bundle: Bundle) -> Proof:
    return parse_proof(bundle.files["data/events.json"])


def signatures(proof: Proof) -> list[int]:
    """Where the signatures to a list with lines stand in the chain."""
    events = [json.loads(event.text) for event in proof.chains[0].events]
    return [event["seq"] for event in events if event["data"].get("shown", {}).get("lines")]


def verdicts(
    ledger: SqliteStore,
    bundle: Bundle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    changes: dict[int, Change],
) -> tuple[list[str], int]:
    proof = parse_proof(bundle.files["data/events.json"])
    lie = rebuilt(ledger, proof, CHAIN, changes)
    path = write_zip(tmp_path, with_proof(ledger, bundle.files, lie))
    return own_verdict(path), alone_verdict(path, monkeypatch)


def test_what_is_written_anew_around_the_same_events_holds(
    ledger: SqliteStore,
    bundle: Bundle,
    proof: Proof,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The officials' signatures are gone, and README.txt says so; no lie is in it."""
    changes: dict[int, Change] = {signatures(proof)[0]: str}
    assert verdicts(ledger, bundle, tmp_path, monkeypatch, changes) == ([], 0)


@pytest.mark.parametrize("name", LIES)
def test_both_find_a_lie_about_a_signed_list(
    ledger: SqliteStore,
    bundle: Bundle,
    proof: Proof,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
) -> None:
    lie, said = LIES[name]
    changes = {signatures(proof)[0]: lie}
    found, status = verdicts(ledger, bundle, tmp_path, monkeypatch, changes)
    assert said in " ".join(found)
    assert status == 1


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(random=RANDOMS)
def test_the_two_checkers_agree_on_signed_lists(
    ledger: SqliteStore,
    bundle: Bundle,
    proof: Proof,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    random: Random,
) -> None:
    """Whatever a signature says, with the number that its list then has."""

    def lie(event: dict[str, Any]) -> None:
        data = mutated(
            {key: event["data"][key] for key in ("form", "how", "others", "shown")}, random
        )
        event["data"] = event["data"] | data
        try:
            event["data"]["list"] = sha256(canonical(event["data"]["shown"])).hexdigest()
        except InputError:
            event["data"]["list"] = "00" * 32

    seq = random.choice(signatures(proof))
    found, status = verdicts(ledger, bundle, tmp_path, monkeypatch, {seq: lie})
    assert bool(found) == bool(status), (found, status)
