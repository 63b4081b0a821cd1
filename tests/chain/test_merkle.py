"""The tree gives the published roots and proofs, and refuses every changed proof."""

from __future__ import annotations

import json
from base64 import b64decode
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tlog_scales.reader import TilesReader
from tlog_scales.tlog import ConsistencyProof, InclusionProof

from ledger.chain.hashing import leaf_hash, node_hash
from ledger.chain.merkle import (
    EMPTY_ROOT,
    MalformedProofError,
    RootMismatchError,
    check_consistency,
    check_inclusion,
    prove_consistency,
    prove_inclusions,
    root,
)
from ledger.errors import InputError, IntegrityError, LedgerError
from tests.chain.mutation import damaged_proofs

VECTORS = Path(__file__).parents[1] / "vectors"
TREE = json.loads((VECTORS / "merkle_tree.json").read_text())
CASES = json.loads((VECTORS / "merkle_proofs.json").read_text())
LEAVES = [leaf_hash(bytes.fromhex(data)) for data in TREE["leaves"]]
ROOTS = [bytes.fromhex(each) for each in TREE["roots"]]
OTHER = sha256(b"not in any tree").digest()


# The slow and obvious tree: the definitions of RFC 9162 sections 2.1.1, 2.1.3.1 and 2.1.4.1.
def slow_root(d: list[bytes]) -> bytes:
    if len(d) < 2:
        return d[0] if d else sha256(b"").digest()
    k = split(len(d))
    return sha256(b"\x01" + slow_root(d[:k]) + slow_root(d[k:])).digest()


def split(n: int) -> int:
    return max(2**power for power in range(n.bit_length()) if 2**power < n)


def proof_of(index: int, leaves: list[bytes]) -> tuple[bytes, ...]:
    return prove_inclusions(leaves, [index])[index]


def slow_path(m: int, d: list[bytes]) -> list[bytes]:
    if len(d) == 1:
        return []
    k = split(len(d))
    if m < k:
        return [*slow_path(m, d[:k]), slow_root(d[k:])]
    return [*slow_path(m - k, d[k:]), slow_root(d[:k])]


def slow_subproof(m: int, d: list[bytes], whole: bool) -> list[bytes]:
    if m == len(d):
        return [] if whole else [slow_root(d)]
    k = split(len(d))
    if m <= k:
        return [*slow_subproof(m, d[:k], whole), slow_root(d[k:])]
    return [*slow_subproof(m - k, d[k:], False), slow_root(d[:k])]


def numbered(size: int) -> list[bytes]:
    return [leaf_hash(str(n).encode()) for n in range(size)]


sizes = st.integers(1, 130)


@pytest.mark.parametrize("size", range(9))
def test_published_roots(size: int) -> None:
    assert root(LEAVES[:size]) == ROOTS[size]


@pytest.mark.parametrize("proof", TREE["inclusion"], ids=lambda p: f"{p['index']}-{p['size']}")
def test_published_inclusion_proofs(proof: dict[str, Any]) -> None:
    index, size = proof["index"], proof["size"]
    expected = [bytes.fromhex(each) for each in proof["proof"]]
    assert list(proof_of(index, LEAVES[:size])) == expected
    check_inclusion(LEAVES[index], index, size, expected, ROOTS[size])


@pytest.mark.parametrize("proof", TREE["consistency"], ids=lambda p: f"{p['old']}-{p['new']}")
def test_published_consistency_proofs(proof: dict[str, Any]) -> None:
    old, new = proof["old"], proof["new"]
    expected = [bytes.fromhex(each) for each in proof["proof"]]
    assert list(prove_consistency(LEAVES, old, new)) == expected
    check_consistency(old, new, ROOTS[old], ROOTS[new], expected)


def believes(check: Any, *shown: Any) -> bool:
    try:
        check(*shown)
    except (MalformedProofError, RootMismatchError):
        return False
    return True


def test_published_inclusion_cases() -> None:
    wrong = [
        case
        for case in CASES["inclusion"]
        if case["accept"]
        != believes(
            check_inclusion,
            b64decode(case["leaf"]),
            case["index"],
            case["size"],
            [b64decode(each) for each in case["proof"]],
            b64decode(case["root"]),
        )
    ]
    assert (len(CASES["inclusion"]), wrong) == (98, [])


def test_published_consistency_cases() -> None:
    wrong = [
        case
        for case in CASES["consistency"]
        if case["accept"]
        != believes(
            check_consistency,
            case["old"],
            case["new"],
            b64decode(case["old_root"]),
            b64decode(case["new_root"]),
            [b64decode(each) for each in case["proof"]],
        )
    ]
    assert (len(CASES["consistency"]), wrong) == (98, [])


@given(st.integers(0, 300))
def test_roots_agree_with_the_definition(size: int) -> None:
    leaves = numbered(size)
    assert root(leaves) == slow_root(leaves)


@given(sizes, st.data())
def test_proofs_agree_with_the_definition(size: int, data: st.DataObject) -> None:
    leaves = numbered(size)
    index = data.draw(st.integers(0, size - 1))
    old = data.draw(st.integers(1, size))
    assert list(proof_of(index, leaves)) == slow_path(index, leaves)
    assert list(prove_consistency(leaves, old, size)) == slow_subproof(old, leaves, True)


class OneTile:
    """The source from which the second implementation reads a tree of up to 255 leaves."""

    def __init__(self, leaves: list[bytes]) -> None:
        self.data = b"".join(leaves)

    def get(self, *path: str) -> bytes:
        return self.data


@given(st.lists(st.binary(min_size=32, max_size=32), min_size=1, max_size=255), st.data())
def test_a_second_implementation_agrees(leaves: list[bytes], data: st.DataObject) -> None:
    size = len(leaves)
    index, old = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size))
    referee = TilesReader(OneTile(leaves))
    referee.set_size(size)
    inclusion, consistency = proof_of(index, leaves), prove_consistency(leaves, old, size)

    assert root(leaves) == referee.calculate_root_hash()
    assert list(inclusion) == referee.get_inclusion_proof(index, size).node_hashes
    assert list(consistency) == referee.get_consistency_proof(old, size).node_hashes
    InclusionProof(index, size, list(inclusion)).check(leaves[index], root(leaves))
    ConsistencyProof(old, size, list(consistency)).check(root(leaves[:old]), root(leaves))


@given(sizes, st.data())
def test_many_proofs_in_one_pass_are_the_single_ones(size: int, data: st.DataObject) -> None:
    leaves = numbered(size)
    indexes = data.draw(st.lists(st.integers(0, size - 1)))
    proofs = prove_inclusions(leaves, indexes)
    assert set(proofs) == set(indexes)
    for index, proof in proofs.items():
        assert proof == proof_of(index, leaves)
        check_inclusion(leaves[index], index, size, proof, root(leaves))


@given(sizes, st.data())
def test_a_damaged_inclusion_proof_is_refused(size: int, data: st.DataObject) -> None:
    leaves = numbered(size)
    index = data.draw(st.integers(0, size - 1))
    proof, whole = proof_of(index, leaves), root(leaves)
    for damage, shown in damaged_proofs(proof, OTHER):
        assert not believes(check_inclusion, leaves[index], index, size, shown, whole), damage
    assert not believes(check_inclusion, OTHER, index, size, proof, whole)
    assert not believes(check_inclusion, leaves[index], index, size, proof, OTHER)
    for elsewhere in {0, index - 1, index + 1, size - 1, size, -1} - {index}:
        assert not believes(check_inclusion, leaves[index], elsewhere, size, proof, whole)


@given(sizes, st.data())
def test_a_damaged_consistency_proof_is_refused(size: int, data: st.DataObject) -> None:
    leaves = numbered(size)
    old = data.draw(st.integers(1, size))
    proof, before, after = prove_consistency(leaves, old, size), root(leaves[:old]), root(leaves)
    for damage, shown in damaged_proofs(proof, OTHER):
        assert not believes(check_consistency, old, size, before, after, shown), damage
    assert not believes(check_consistency, old, size, OTHER, after, proof)
    assert not believes(check_consistency, old, size, before, OTHER, proof)
    assert not believes(check_consistency, size + 1, size, before, after, proof)


@given(sizes, st.data())
def test_a_rewritten_ledger_is_not_consistent(size: int, data: st.DataObject) -> None:
    """After a change to one event, no proof of consistency with an old checkpoint exists."""
    old = data.draw(st.integers(1, size))
    kept = root(numbered(old))
    rewritten = numbered(size)
    rewritten[data.draw(st.integers(0, old - 1))] = OTHER
    proof = prove_consistency(rewritten, old, size)
    assert not believes(check_consistency, old, size, kept, root(rewritten), proof)


def test_nothing_is_proved_from_the_empty_tree() -> None:
    with pytest.raises(MalformedProofError, match="from 0 to 8"):
        check_consistency(0, 8, EMPTY_ROOT, ROOTS[8], [])
    with pytest.raises(MalformedProofError, match="from 0 to 0"):
        check_consistency(0, 0, EMPTY_ROOT, EMPTY_ROOT, [])
    with pytest.raises(InputError, match="from 0 to 8") as refused:
        prove_consistency(LEAVES, 0, 8)
    assert "at least one leaf" in refused.value.hint


def test_a_proof_longer_than_its_tree_is_refused_whatever_the_root() -> None:
    """The hashes add up; only the size shows that no such tree exists."""
    leaf, three = LEAVES[0], [node_hash(LEAVES[1], LEAVES[0]), LEAVES[2]]
    with pytest.raises(MalformedProofError, match="too long"):
        check_inclusion(leaf, 0, 1, [LEAVES[1]], node_hash(LEAVES[1], leaf))
    with pytest.raises(MalformedProofError, match="too long"):
        check_consistency(1, 2, leaf, node_hash(OTHER, ROOTS[2]), [LEAVES[1], OTHER])
    with pytest.raises(MalformedProofError, match="too short"):
        check_inclusion(three[0], 0, 8, [three[1]], node_hash(*three))


def test_a_proof_has_hashes_of_32_bytes() -> None:
    with pytest.raises(MalformedProofError, match="32 bytes, not 33"):
        check_inclusion(LEAVES[0], 0, 2, [LEAVES[1] + b"0"], ROOTS[2])
    with pytest.raises(MalformedProofError, match="32 bytes, not 33"):
        check_consistency(1, 2, ROOTS[1], ROOTS[2], [LEAVES[1] + b"0"])
    with pytest.raises(MalformedProofError, match="32 bytes, not 31"):
        check_consistency(1, 2, ROOTS[1][:-1], ROOTS[2], [LEAVES[1]])


@pytest.mark.parametrize("index", [-1, 8])
def test_no_proof_of_a_leaf_that_is_not_there(index: int) -> None:
    with pytest.raises(InputError, match=f"no leaf {index} in a tree of 8"):
        prove_inclusions(LEAVES, [0, index])


def test_a_mismatch_carries_both_roots() -> None:
    with pytest.raises(RootMismatchError) as refused:
        check_inclusion(LEAVES[0], 0, 8, proof_of(0, LEAVES), ROOTS[7])
    assert isinstance(refused.value, IntegrityError)
    assert (refused.value.expected, refused.value.found) == (ROOTS[7].hex(), ROOTS[8].hex())
    assert "Get proof and checkpoint again" in refused.value.hint


@given(
    st.binary(max_size=40),
    st.integers(-2, 2**64),
    st.integers(-2, 2**64),
    st.lists(st.binary(max_size=40) | st.binary(min_size=32, max_size=32), max_size=70),
    st.binary(max_size=40),
)
def test_anything_shown_as_a_proof_is_refused_with_our_errors_only(
    first: bytes, small: int, large: int, proof: list[bytes], second: bytes
) -> None:
    for check, shown in (
        (check_inclusion, (first, small, large, proof, second)),
        (check_consistency, (small, large, first, second, proof)),
    ):
        try:
            check(*shown)
        except LedgerError:
            continue
        assert first == second  # one leaf, or one tree twice: the only luck there is
