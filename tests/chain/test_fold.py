"""A tree that grows has the same root as one made at once."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ledger.chain.hashing import leaf_hash
from ledger.chain.merkle import EMPTY_ROOT, Fold, root

LEAVES = [leaf_hash(bytes([n])) for n in range(70)]


def test_every_small_tree_leaf_by_leaf() -> None:
    fold = Fold()
    assert fold.root == EMPTY_ROOT
    for size, leaf in enumerate(LEAVES, 1):
        fold = fold.extend([leaf])
        assert (fold.size, fold.root) == (size, root(LEAVES[:size]))
        assert len(fold.peaks) == size.bit_count()


@given(st.lists(st.binary(max_size=3).map(leaf_hash), max_size=300), st.data())
def test_the_root_is_that_of_the_tree_made_at_once(
    hashes: list[bytes], data: st.DataObject
) -> None:
    cuts = sorted(data.draw(st.lists(st.integers(0, len(hashes)), max_size=4)))
    fold = Fold()
    for start, end in zip([0, *cuts], [*cuts, len(hashes)], strict=True):
        before = fold
        fold = fold.extend(hashes[start:end])
        assert before.root == root(hashes[:start])
    assert (fold.size, fold.root) == (len(hashes), root(hashes))
