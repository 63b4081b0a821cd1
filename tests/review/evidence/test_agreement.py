"""The two checkers agree on whatever the keeper of a ledger, who has its key, might write."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.review.evidence.bag import make_bag
from ledger.store.chains import origin_in
from ledger.store.sqlite import SqliteStore
from tests.review.evidence.checkers import alone_verdict, own_verdict, write_zip
from tests.review.evidence.conftest import Bundle
from tests.signed_season import CHAIN

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


@settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(random=st.randoms(use_true_random=False))
def test_the_two_checkers_agree(
    ledger: SqliteStore,
    bundle: Bundle,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    random: Random,
) -> None:
    whole = mutated(json.loads(bundle.files["data/events.json"]), random)
    text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    payload = {n[5:]: c for n, c in bundle.files.items() if n.startswith("data/")}
    payload["events.json"] = text.encode()
    lines = [line.split(": ", 1) for line in bundle.files["bag-info.txt"].decode().splitlines()]
    info = {key: value for key, value in lines if key != "Payload-Oxum"}
    origin = origin_in(ledger, CHAIN)
    private = ledger.key(origin)
    assert private is not None
    path = write_zip(tmp_path, make_bag(payload, info, origin, private))
    assert bool(own_verdict(path)) == bool(alone_verdict(path, monkeypatch))
