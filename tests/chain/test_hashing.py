"""SHA-256 against FIPS 180-4 and NIST CAVP; the prefixes of RFC 9162 section 2.1.1."""

import json
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.chain.hashing import BEGINNING, leaf_hash, node_hash

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "sha256.json").read_text())


@pytest.mark.parametrize("case", VECTORS["examples"], ids=lambda case: case["ascii"][:8])
def test_fips_180_4_examples(case: dict[str, str]) -> None:
    assert sha256(case["ascii"].encode()).hexdigest() == case["sha256"]


def test_fips_180_4_one_million_a() -> None:
    expected = "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
    assert sha256(b"a" * 1_000_000).hexdigest() == expected


@pytest.mark.parametrize("case", VECTORS["short_messages"], ids=lambda case: case["hex"])
def test_cavp_short_messages(case: dict[str, str]) -> None:
    assert sha256(bytes.fromhex(case["hex"])).hexdigest() == case["sha256"]


def test_a_leaf_and_a_node_are_never_confused() -> None:
    left, right = leaf_hash(b"a"), leaf_hash(b"b")
    assert left == sha256(b"\x00a").digest()
    assert node_hash(left, right) == sha256(b"\x01" + left + right).digest()
    assert node_hash(left, right) != leaf_hash(left + right)


def test_the_first_event_names_64_zeros() -> None:
    assert BEGINNING.hex() == "0" * 64
