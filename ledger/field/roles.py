"""Everyone's roles, kept warm by following what is appended to the ledger."""

from __future__ import annotations

from ledger.actions.officials import Officials, changes_officials, read_officials
from ledger.store.store import Store


class Roles:
    """Asked at every call. For the thread of its store alone."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._lengths = dict(store.lengths())
        self._officials = read_officials(store)

    def now(self) -> Officials:
        """Everyone as the ledger has it at this moment."""
        lengths = dict(self._store.lengths())
        if lengths != self._lengths:
            if self._has_changed(lengths):
                self._officials = read_officials(self._store)
            self._lengths = lengths
        return self._officials

    def _has_changed(self, lengths: dict[str, int]) -> bool:
        return any(
            changes_officials(self._officials, stored)
            for chain, length in lengths.items()
            if length > self._lengths.get(chain, 0)
            for stored in self._store.events_after(chain, self._lengths.get(chain, 0))
        )
