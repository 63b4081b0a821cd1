"""The Merkle tree of RFC 9162 section 2.1 over event hashes: roots and short proofs.

A leaf is already hashed (`ledger.chain.hashing.leaf_hash`); leaves count from 0, in ledger order.
The tree over n leaves splits at k, the largest power of two smaller than n:

    root of none       SHA-256 of nothing
    root of one        that leaf's hash
    root of n          node_hash(root of the first k, root of the other n - k)

An inclusion proof shows that one leaf is in a tree and says nothing of the others; a consistency
proof shows that a later tree only added leaves to an earlier one. Both are lists of hashes, from
the leaves upward, in the order of the RFC. The check_x functions return nothing, or refuse with
MalformedProofError (cannot be a proof of this size) or RootMismatchError (leads to another root).

>>> from ledger.chain.hashing import leaf_hash
>>> leaves = [leaf_hash(name.encode()) for name in "abc"]
>>> proof = prove_inclusions(leaves, [2])[2]
>>> len(proof)
1
>>> check_inclusion(leaves[2], 2, 3, proof, root(leaves))
>>> check_consistency(2, 3, root(leaves[:2]), root(leaves), prove_consistency(leaves, 2, 3))
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from hashlib import sha256

from ledger.chain.hashing import HASH_BYTES, node_hash
from ledger.errors import InputError, IntegrityError

EMPTY_ROOT = sha256().digest()
"""The root of a tree without leaves (RFC 9162 section 2.1.1)."""


class MalformedProofError(InputError):
    """No proof can look like this for a tree of this size."""


class RootMismatchError(IntegrityError):
    """The proof leads to another root than the one stated; both are carried as hex."""


def root(hashes: Iterable[bytes]) -> bytes:
    """The root over leaf hashes, 32 bytes."""
    level = list(hashes)
    if not level:
        return EMPTY_ROOT
    while len(level) > 1:
        level = _parents(level)
    return level[0]


def prove_inclusions(
    hashes: Sequence[bytes], indexes: Iterable[int]
) -> dict[int, tuple[bytes, ...]]:
    """By index, the proof that the leaf is in the tree over `hashes` (RFC 9162 section 2.1.3.1).

    The tree is hashed once for all of them. Raises InputError for an index that is no leaf.
    """
    proofs: dict[int, list[bytes]] = {index: [] for index in indexes}
    for index in proofs:
        if not 0 <= index < len(hashes):
            raise InputError(f"no leaf {index} in a tree of {len(hashes)}")
    level, height = list(hashes), 0
    while len(level) > 1:
        for index, proof in proofs.items():
            sibling = (index >> height) ^ 1
            if sibling < len(level):
                proof.append(level[sibling])
        level = _parents(level)
        height += 1
    return {index: tuple(proof) for index, proof in proofs.items()}


def prove_consistency(hashes: Sequence[bytes], old: int, new: int) -> tuple[bytes, ...]:
    """The proof that the tree over the first `new` leaves continues the one over the first `old`.

    RFC 9162 section 2.1.4.1. Raises InputError unless 0 < old <= new <= len(hashes).
    """
    if not 0 < old <= new <= len(hashes):
        raise InputError(
            f"no consistency proof from {old} to {new} leaves of {len(hashes)}",
            hint="The earlier tree needs at least one leaf, and no more than the later one.",
        )
    proof: list[bytes] = []
    start, shared, size = 0, old, new
    while shared != size:
        split = 1 << (size - 1).bit_length() - 1
        if shared <= split:
            proof.append(root(hashes[start + split : start + size]))
            size = split
        else:
            proof.append(root(hashes[start : start + split]))
            start, shared, size = start + split, shared - split, size - split
    if start:
        proof.append(root(hashes[start : start + size]))
    return tuple(reversed(proof))


def check_inclusion(
    leaf: bytes, index: int, size: int, proof: Sequence[bytes], tree_root: bytes
) -> None:
    """Refuse unless `proof` leads from `leaf` at `index` to the root of a tree of `size` leaves.

    The steps are those of RFC 9162 section 2.1.3.2. Raises MalformedProofError, RootMismatchError.
    """
    if not 0 <= index < size:
        raise MalformedProofError(f"no leaf {index} in a tree of {size}")
    _refuse_odd_lengths(leaf, *proof)
    at, last, found = index, size - 1, leaf
    for step in proof:
        if last == 0:
            raise MalformedProofError("the inclusion proof is too long for its tree")
        if at & 1 or at == last:
            found = node_hash(step, found)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            found = node_hash(found, step)
        at, last = at >> 1, last >> 1
    if last:
        raise MalformedProofError("the inclusion proof is too short for its tree")
    _compare("root", tree_root, found)


def check_consistency(
    old_size: int, new_size: int, old_root: bytes, new_root: bytes, proof: Sequence[bytes]
) -> None:
    """Refuse unless `proof` shows that the new tree keeps every leaf of the old one, in order.

    The steps are those of RFC 9162 section 2.1.4.2. An old size of 0 is refused: every tree
    continues the empty one, so a proof of that would prove nothing (the RFC is silent; the test
    cases of transparency-dev/merkle refuse it). Raises MalformedProofError, RootMismatchError.
    """
    if not 0 < old_size <= new_size:
        raise MalformedProofError(f"no consistency proof from {old_size} to {new_size} leaves")
    if old_size == new_size:
        if proof:
            raise MalformedProofError("two trees of one size need no consistency proof")
        _compare("root", old_root, new_root)
        return
    _refuse_odd_lengths(old_root, *proof)
    steps = list(proof)
    if old_size & (old_size - 1) == 0:
        steps.insert(0, old_root)
    if not steps:
        raise MalformedProofError("the consistency proof is empty")
    at, last = old_size - 1, new_size - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    old_found = new_found = steps[0]
    for step in steps[1:]:
        if last == 0:
            raise MalformedProofError("the consistency proof is too long for its trees")
        if at & 1 or at == last:
            old_found, new_found = node_hash(step, old_found), node_hash(step, new_found)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            new_found = node_hash(new_found, step)
        at, last = at >> 1, last >> 1
    if last:
        raise MalformedProofError("the consistency proof is too short for its trees")
    _compare("old root", old_root, old_found)
    _compare("new root", new_root, new_found)


def _parents(level: list[bytes]) -> list[bytes]:
    """The next level up. A hash without a partner goes up as it is, which is the RFC's split."""
    parents = list(map(node_hash, level[::2], level[1::2]))
    if len(level) % 2:
        parents.append(level[-1])
    return parents


def _refuse_odd_lengths(*hashes: bytes) -> None:
    # Without this, a longer "hash" could move the border between left and right in node_hash.
    for each in hashes:
        if len(each) != HASH_BYTES:
            raise MalformedProofError(f"a proof has hashes of {HASH_BYTES} bytes, not {len(each)}")


def _compare(field: str, expected: bytes, found: bytes) -> None:
    if found != expected:
        raise RootMismatchError(
            f"the proof leads to another {field}",
            hint="Get the proof and the checkpoint again from the same ledger; if they still "
            "differ, what was shown is not what was recorded.",
            field=field,
            expected=expected.hex(),
            found=found.hex(),
        )
