"""The Merkle trees of a ledger's chains, hashed before the lock and continued under it."""

from __future__ import annotations

from ledger.chain.merkle import Fold
from ledger.chain.others import State
from ledger.store.store import Store, Stored


class Trees:
    """Each chain's tree as it was when the trees caught up last: at first none.

    A million events take seconds to hash; those that came in meanwhile take no time. Trees that
    caught up in a transaction that was undone are of no use any more.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._folds: dict[str, Fold] = {}

    def catch_up(self) -> None:
        """Continue every tree to the end of its chain."""
        for chain, length in self._store.lengths().items():
            fold = self._folds.get(chain, Fold())
            if fold.size < length:
                newer = self._store.hashes(chain, after=fold.size)
                self._folds[chain] = fold.extend(newer)

    def newer(self) -> list[Stored]:
        """The events that the trees have not caught up with, in ledger order."""
        lengths = {chain: self.state(chain).size for chain in self._store.lengths()}
        return sorted(
            stored
            for chain, length in lengths.items()
            for stored in self._store.events_after(chain, length)
        )

    def state(self, chain: str) -> State:
        """Length and root of the chain's tree; of none for a chain not met yet."""
        fold = self._folds.get(chain, Fold())
        return State(fold.size, fold.root)

    def others(self, chain: str) -> dict[str, State]:
        """Length and root of every other chain's tree."""
        return {name: self.state(name) for name in sorted(self._folds) if name != chain}
