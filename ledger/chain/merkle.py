"""The Merkle tree of RFC 9162 section 2.1 over event hashes: roots and short proofs.

A leaf is already hashed (`ledger.chain.hashing.leaf_hash`); leaves count from 0.
The tree over n leaves splits at k, the largest power of two smaller than n:

    root of none       SHA-256 of nothing
    root of one        that leaf's hash
    root of n          node_hash(root of the first k, root of the other n - k)

An inclusion proof shows that one leaf is in a tree, and nothing about the others. A consistency
proof shows that a later tree only added leaves to an earlier one. Both are lists of hashes, from
the leaves upward, in the order of the RFC.

>>> from ledger.chain.hashing import leaf_hash
>>> leaves = [leaf_hash(name.encode()) for name in "abc"]
>>> proof = prove_inclusions(leaves, [2])[2]
>>> len(proof)
1
>>> check_inclusion(leaves[2], 2, 3, proof, root(leaves))
>>> check_consistency(2, 3, root(leaves[:2]), root(leaves), prove_consistency(leaves, 2, 3))
>>> Fold().extend(leaves[:2]).extend(leaves[2:]).root == root(leaves)
True
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

from ledger.chain.hashing import HASH_BYTES, node_hash
from ledger.errors import InputError, IntegrityError

EMPTY_ROOT = sha256().digest()
"""The root of a tree without leaves (RFC 9162 section 2.1.1)."""


class MalformedProofError(InputError):
    """No proof can look like this for a tree of this size."""


class RootMismatchError(IntegrityError):
    """The proof leads to another root; `expected` and `found` are hex."""


def root(hashes: Iterable[bytes]) -> bytes:
    """Return the root over leaf hashes, 32 bytes."""
    level = list(hashes)
    if not level:
        return EMPTY_ROOT
    while len(level) > 1:
        level = _parents(level)
    return level[0]


def prove_inclusions(
    hashes: Sequence[bytes], indexes: Iterable[int]
) -> dict[int, tuple[bytes, ...]]:
    """Return, by index, the proof that a leaf is in the tree (RFC 9162 section 2.1.3.1).

    The tree is hashed once for all. Raises InputError for an index outside the tree.
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
    """Return the proof that the tree of the first `new` leaves continues that of the first `old`.

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
    """Check that `proof` leads from `leaf` at `index` to the root of a tree of `size` leaves.

    RFC 9162 section 2.1.3.2. Raises MalformedProofError, RootMismatchError.
    """
    if not 0 <= index < size:
        raise MalformedProofError(f"no leaf {index} in a tree of {size}")
    _refuse_odd_lengths(leaf, *proof)
    found = leaf
    for step, is_left in _climb(index, size - 1, proof):
        found = node_hash(step, found) if is_left else node_hash(found, step)
    _compare("root", tree_root, found)


def check_consistency(
    old_size: int, new_size: int, old_root: bytes, new_root: bytes, proof: Sequence[bytes]
) -> None:
    """Check that `proof` shows that the new tree keeps every leaf of the old one, in order.

    RFC 9162 section 2.1.4.2. Raises MalformedProofError, RootMismatchError. An old size of 0 is
    refused: every tree continues the empty one. (The RFC is silent; the test cases of
    transparency-dev/merkle refuse it.)
    """
    if not 0 < old_size <= new_size:
        raise MalformedProofError(f"no consistency proof from {old_size} to {new_size} leaves")
    if old_size == new_size:
        if proof:
            raise MalformedProofError("two trees of the same size need no consistency proof")
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
    for step, is_left in _climb(at, last, steps[1:]):
        old_found = node_hash(step, old_found) if is_left else old_found
        new_found = node_hash(step, new_found) if is_left else node_hash(new_found, step)
    _compare("old root", old_root, old_found)
    _compare("new root", new_root, new_found)


@dataclass(frozen=True, slots=True)
class Fold:
    """A tree that grows: its `size`, and the `peaks`, the roots of its whole parts (32 bytes each).

    The tree over n leaves has a whole part for each bit of n, the largest first. A new leaf joins
    equal parts to one of twice the size; the root joins all parts, from the smallest up.
    """

    size: int = 0
    peaks: tuple[bytes, ...] = ()

    def extend(self, hashes: Iterable[bytes]) -> Fold:
        """Return the tree with these leaf hashes added at its end."""
        size, peaks = self.size, list(self.peaks)
        for joined in hashes:
            size += 1
            whole = size
            while not whole & 1:
                joined = node_hash(peaks.pop(), joined)
                whole >>= 1
            peaks.append(joined)
        return Fold(size, tuple(peaks))

    @property
    def root(self) -> bytes:
        """The root, 32 bytes: the same as `root` of all leaves."""
        if not self.peaks:
            return EMPTY_ROOT
        *larger, found = self.peaks
        for peak in reversed(larger):
            found = node_hash(peak, found)
        return found


def _climb(at: int, last: int, proof: Iterable[bytes]) -> Iterator[tuple[bytes, bool]]:
    """Each hash of a proof, and whether it is the left one of its pair."""
    for step in proof:
        if last == 0:
            raise MalformedProofError("the proof is too long for its tree")
        is_left = bool(at & 1) or at == last
        yield step, is_left
        while is_left and at and not at & 1:
            at, last = at >> 1, last >> 1
        at, last = at >> 1, last >> 1
    if last:
        raise MalformedProofError("the proof is too short for its tree")


def _parents(level: list[bytes]) -> list[bytes]:
    """Return the next level up. A hash without a partner goes up as it is: the RFC's split."""
    parents = list(map(node_hash, level[::2], level[1::2]))
    if len(level) % 2:
        parents.append(level[-1])
    return parents


def _refuse_odd_lengths(*hashes: bytes) -> None:
    # A longer "hash" could move the border between left and right in node_hash.
    for each in hashes:
        if len(each) != HASH_BYTES:
            raise MalformedProofError(
                f"the hashes of a proof have {HASH_BYTES} bytes, not {len(each)}"
            )


def _compare(field: str, expected: bytes, found: bytes) -> None:
    if found != expected:
        raise RootMismatchError(
            f"the proof leads to another {field}",
            hint="Get proof and checkpoint again from the same ledger. If they still differ, the "
            "entries shown are not those recorded.",
            field=field,
            expected=expected.hex(),
            found=found.hex(),
        )
