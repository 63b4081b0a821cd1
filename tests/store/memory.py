"""A second database for the contract: a ledger in lists of this process, with nothing of SQLite.

It shows that nothing above `ledger.store.store` needs more than the protocol. A `Memory` is what
lies on the disk elsewhere; every `MemoryStore` is one program that has it open. A state is never
changed in place: a transaction works on a state of its own, and the commit exchanges them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from threading import Lock

from ledger.chain.hashing import BEGINNING
from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store import waiting
from ledger.store.store import (
    Disclosure,
    Head,
    Last,
    Row,
    Store,
    Stored,
    StoredCheckpoint,
    Writing,
    make_rows,
)
from ledger.store.written import WRITTEN

FILTERS = {"kind", "game", "team", "player", "subject", "chain", "ref"}


@dataclass(frozen=True)
class State:
    """Everything in a ledger at one moment, in the order of acceptance."""

    rows: tuple[Row, ...] = ()
    disclosures: tuple[Disclosure, ...] = ()
    checkpoints: tuple[StoredCheckpoint, ...] = ()
    keys: Mapping[str, bytes] = field(default_factory=dict)
    exhibits: Mapping[str, tuple[str, bytes]] = field(default_factory=dict)

    def ends(self) -> dict[str, Row]:
        """The last row of every chain, by name."""
        return {row.chain: row for row in sorted(self.rows)}

    def with_rows(self, rows: Sequence[Row]) -> State:
        """With these rows more; StoreError for a fork, a gap, or a ref twice in a chain."""
        ends = self.ends()
        refs = {(row.chain, row.ref) for row in self.rows if row.ref}
        for row in rows:
            end = ends.get(row.chain)
            if (row.seq, row.prev) != ((end.seq + 1, end.hash) if end else (1, BEGINNING)):
                raise StoreError(f"{row.chain}:{row.seq} does not follow the chain's last event")
            if row.ref and (row.chain, row.ref) in refs:
                raise StoreError(f"the chain {row.chain} has a ref {row.ref}")
            ends[row.chain] = row
            refs.add((row.chain, row.ref))
        return replace(self, rows=(*self.rows, *rows))


class Memory:
    """What is kept, and the lock for writing."""

    def __init__(self) -> None:
        self.state = State()
        self.lock = Lock()


class MemoryWriting:
    def __init__(self, store: MemoryStore, recorded: str) -> None:
        self.store = store
        self.recorded = recorded
        self.state = store.memory.state
        self.ids: list[str] = []

    def append(self, bodies: Sequence[Accepted], *, chain: str) -> list[str]:
        head = self.store.head(chain)
        if not head.seq and bodies and bodies[0].kind != "chain_key":
            raise InputError(f"no chain {chain} in this ledger", hint="Is it the right name?")
        rows, texts = make_rows(bodies, chain=chain, head=head, recorded=self.recorded)
        self.state = self.state.with_rows(rows)
        self._change(disclosures=(*self.state.disclosures, *texts))
        ids = [f"{row.chain}:{row.seq}" for row in rows]
        self.ids += ids
        return ids

    def keep_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        self._change(checkpoints=(*self.state.checkpoints, checkpoint))

    def keep_key(self, name: str, sealed: bytes) -> None:
        self._change(keys={**self.state.keys, name: sealed})

    def keep_exhibit(self, sha256: str, name: str, content: bytes) -> None:
        self._change(exhibits={sha256: (name, content), **self.state.exhibits})

    def drop_disclosures(self, ids: Sequence[str]) -> int:
        before = self.state.disclosures
        self._change(disclosures=tuple(one for one in before if one.event_id not in ids))
        return len(before) - len(self.state.disclosures)

    def drop_exhibit(self, sha256: str) -> None:
        kept = self.state.exhibits.items()
        self._change(exhibits={key: file for key, file in kept if key != sha256})

    def _change(self, **fields: object) -> None:
        self.state = replace(self.state, **fields)  # type: ignore[arg-type]


class MemoryStore(Store):
    def __init__(self, memory: Memory) -> None:
        self.memory = memory
        self.clock: Callable[[], str] = now_utc
        self._open: MemoryWriting | None = None

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        waiting.patiently(self._take, lambda error: isinstance(error, TimeoutError))
        try:
            self._open = opened = MemoryWriting(self, self.clock())
            yield opened
            self.memory.state = opened.state
            WRITTEN.extend(opened.ids)
        finally:
            self._open = None
            self.memory.lock.release()

    def _take(self) -> None:
        if not self.memory.lock.acquire(timeout=waiting.STEP_SECONDS):
            raise TimeoutError

    @property
    def _now(self) -> State:
        return self._open.state if self._open else self.memory.state

    def events(self, **where: Sequence[str]) -> Iterator[Stored]:
        outside, labelled = where.pop("outside_games", None), where.pop("with_ref", None)
        if unknown := where.keys() - FILTERS:
            raise ValueError(f"no filter {unknown}")
        found = (
            row
            for row in self._now.rows
            if all(getattr(row, column) in values for column, values in where.items())
            and (outside is None or row.game is None)
            and (labelled is None or row.ref is not None)
        )
        yield from sorted(map(_stored, found))

    def events_after(self, chain: str, seq: int) -> Iterator[Stored]:
        return (one for one in self.events(chain=[chain]) if one.seq > seq)

    def entered_last(
        self, *, as_of: str | None = None, known_at: str | None = None
    ) -> Iterator[Stored]:
        counting = [
            (row.entered, _stored(row))
            for row in self._now.rows
            if row.entered
            and (as_of is None or row.entered <= as_of)
            and (known_at is None or row.recorded <= known_at)
        ]
        return (stored for _, stored in sorted(counting, reverse=True))

    def events_by_id(self, ids: Sequence[str]) -> Iterator[Stored]:
        held = {f"{row.chain}:{row.seq}": row for row in self._now.rows}
        for event_id in ids:
            if event_id not in held:
                raise InputError(f"no event {event_id} in this ledger", hint="Is it CHAIN:SEQ?")
            yield _stored(held[event_id])

    def head(self, chain: str) -> Head:
        end = self._now.ends().get(chain)
        return Head(end.seq, end.hash, end.clock) if end else Head()

    def last(self) -> Last:
        if not self._now.rows:
            raise StoreError("this ledger has no events", hint="weighbook load FOLDER fills it.")
        row = self._now.rows[-1]
        return Last(f"{row.chain}:{row.seq}", row.hash, row.recorded)

    def lengths(self) -> Mapping[str, int]:
        return {chain: row.seq for chain, row in self._now.ends().items()}

    def count_by_game(self) -> Mapping[str, int]:
        return Counter(row.game for row in self._now.rows if row.game is not None)

    def disclosures(self, ids: Sequence[str] | None = None) -> Iterator[Disclosure]:
        every = sorted(self._now.disclosures, key=lambda one: (one.chain, one.seq, one.field))
        if ids is None:
            yield from every
        for event_id in ids or ():
            yield from (one for one in every if one.event_id == event_id)

    def hashes(self, chain: str, *, after: int = 0) -> list[bytes]:
        rows = sorted(row for row in self._now.rows if row.chain == chain)
        return [row.hash for row in rows[after:]]

    def checkpoints(self) -> Iterator[StoredCheckpoint]:
        return iter(self._now.checkpoints)

    def key(self, name: str) -> bytes | None:
        return self._now.keys.get(name)

    def exhibits(self) -> Mapping[str, str]:
        return {sha256: name for sha256, (name, _) in sorted(self._now.exhibits.items())}

    def exhibit(self, sha256: str) -> tuple[str, bytes] | None:
        return self._now.exhibits.get(sha256)

    def forget_free_space(self) -> None:
        """Nothing: what was deleted is in no state any more."""

    def close(self) -> None:
        """Nothing: a `Memory` ends with its last user."""


def _stored(row: Row) -> Stored:
    return Stored(row.clock, row.chain, row.seq, row.body)
