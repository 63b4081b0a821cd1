"""A ledger as it stood at certain lengths of its chains: a Store that hides everything after them.

A paper is made from such a view, so that it shows one moment even while others write, and can be
made again from the same events months later. It is for reading only. What was erased since is
gone in it too: nothing brings a text back.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager

from ledger.chain.disclosure import digest_of
from ledger.chain.hashing import leaf_hash
from ledger.errors import InputError, IntegrityError, StoreError
from ledger.record.kinds import FILES
from ledger.store.store import (
    Disclosure,
    Head,
    Last,
    Store,
    Stored,
    StoredCheckpoint,
    Writing,
)


class Within(Store):
    """`lengths` names every chain that is seen, and how far.

    `keys` are the chains whose private keys it hands out (default: every one that is there).
    With `hashes`, the hashes of each chain's proven events, every event and text read is
    checked against them; IntegrityError if one was changed.
    """

    def __init__(
        self,
        store: Store,
        lengths: Mapping[str, int],
        *,
        keys: Collection[str] | None = None,
        hashes: Mapping[str, Sequence[bytes]] | None = None,
    ) -> None:
        self.clock = store.clock
        self._store = store
        self._lengths = dict(sorted(lengths.items()))
        self._keys = keys
        self._hashes = hashes

    def writing(self) -> AbstractContextManager[Writing]:
        raise StoreError("an earlier state of the ledger is for reading only")

    def events(self, **where: Sequence[str]) -> Iterator[Stored]:
        return self._seen(self._store.events(**where))

    def events_after(self, chain: str, seq: int) -> Iterator[Stored]:
        return self._seen(self._store.events_after(chain, seq))

    def entered_last(
        self, *, as_of: str | None = None, known_at: str | None = None
    ) -> Iterator[Stored]:
        return self._seen(self._store.entered_last(as_of=as_of, known_at=known_at))

    def events_by_id(self, ids: Sequence[str]) -> Iterator[Stored]:
        for event_id in ids:
            found = list(self._seen(self._store.events_by_id([event_id])))
            if not found:
                hint = "It was recorded after the moment you asked about."
                raise InputError(f"no event {event_id} in this ledger then", hint=hint)
            yield from found

    def head(self, chain: str) -> Head:
        seq = self._lengths.get(chain, 0)
        if not seq:
            return Head()
        (stored,) = self.events_by_id([f"{chain}:{seq}"])
        return Head(seq, leaf_hash(stored.body.encode()), stored.clock)

    def last(self) -> Last:
        ends = [f"{chain}:{size}" for chain, size in self._lengths.items() if size]
        if not ends:
            raise StoreError("this ledger has no events", hint="weighbook load FOLDER fills it.")
        stored = max(self.events_by_id(ends))
        return Last(stored.id, leaf_hash(stored.body.encode()), stored.event.recorded)

    def lengths(self) -> Mapping[str, int]:
        return self._lengths

    def count_by_game(self) -> Mapping[str, int]:
        games = (stored.event.game for stored in self.events())
        return Counter(game for game in games if game is not None)

    def disclosures(self, ids: Sequence[str] | None = None) -> Iterator[Disclosure]:
        for row in self._store.disclosures(ids):
            if row.seq <= self._lengths.get(row.chain, 0):
                if self._hashes is not None:
                    self._hold_text(row)
                yield row

    def hashes(self, chain: str, *, after: int = 0) -> list[bytes]:
        return self._store.hashes(chain, after=after)[: max(0, self._lengths.get(chain, 0) - after)]

    def checkpoints(self) -> Iterator[StoredCheckpoint]:
        for kept in self._store.checkpoints():
            if kept.size <= self._lengths.get(kept.chain, 0):
                yield kept

    def key(self, name: str) -> bytes | None:
        # A chain's key bears its origin, which ends in the chain's name (store/chains.py).
        if self._keys is not None and name.rpartition("/")[2] not in self._keys:
            return None
        return self._store.key(name)

    def exhibits(self) -> Mapping[str, str]:
        named = {
            stored.event.data.get(FILES[stored.event.kind])
            for stored in self.events(kind=list(FILES))
        }
        kept = self._store.exhibits().items()
        return {digest: name for digest, name in kept if digest in named}

    def exhibit(self, sha256: str) -> tuple[str, bytes] | None:
        return self._store.exhibit(sha256) if sha256 in self.exhibits() else None

    def forget_free_space(self) -> None:
        raise StoreError("an earlier state of the ledger is for reading only")

    def close(self) -> None:
        """Do nothing: the code that opened the ledger closes it."""

    def _seen(self, found: Iterator[Stored]) -> Iterator[Stored]:
        for stored in found:
            if stored.seq <= self._lengths.get(stored.chain, 0):
                if self._hashes is not None:
                    self._hold(stored, self._hashes[stored.chain])
                yield stored

    def _hold(self, stored: Stored, hashes: Sequence[bytes]) -> None:
        # The columns that are read beside the bytes tell where they are and in which order.
        event = stored.event
        is_its_place = (event.chain, event.seq) == (stored.chain, stored.seq)
        if not is_its_place or hashes[stored.seq - 1] != leaf_hash(stored.body.encode()):
            raise _changed(f"the event {stored.id}")

    def _hold_text(self, row: Disclosure) -> None:
        (stored,) = self.events_by_id([row.event_id])
        if stored.event.data.get("digests", {}).get(row.field) != digest_of(row.text):
            raise _changed(f"the {row.field} of the event {row.event_id}")


def _changed(what: str) -> IntegrityError:
    return IntegrityError(
        f"{what} in this ledger is not what was written down",
        hint="weighbook audit says what was changed; copies that others hold stay valid.",
    )
