"""A Merkle tree that grows: what must be kept of it to go on and to give its root.

The tree of RFC 9162 section 2.1 over n leaves is made of whole trees, one for each bit of n, the
largest first. Their roots are enough: a new leaf joins equal trees to one of twice the size, and
the root joins what is left, from the smallest up.

>>> from ledger.chain.hashing import leaf_hash
>>> from ledger.chain.merkle import root
>>> leaves = [leaf_hash(name.encode()) for name in "abc"]
>>> Fold().extend(leaves[:2]).extend(leaves[2:]).root == root(leaves)
True
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.chain.hashing import node_hash
from ledger.chain.merkle import EMPTY_ROOT


@dataclass(frozen=True, slots=True)
class Fold:
    """A tree of `size` leaves; `peaks` are the roots of its whole parts, 32 bytes each."""

    size: int = 0
    peaks: tuple[bytes, ...] = ()

    def extend(self, hashes: Iterable[bytes]) -> Fold:
        """The tree with these leaf hashes after its own."""
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
        """The root, 32 bytes: the same as `ledger.chain.merkle.root` over all the leaves."""
        if not self.peaks:
            return EMPTY_ROOT
        *larger, found = self.peaks
        for peak in reversed(larger):
            found = node_hash(peak, found)
        return found
