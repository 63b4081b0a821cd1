"""The store: what the rest of the program may do with a ledger's rows.

Rules of the append (each is a test):

1. Head, check and insert happen under one lock, in one transaction: all or nothing.
2. `seq` counts from 1 without a gap; `prev` is the hash of the event before (zeros for the first).
   A chain begins with its `chain_key`: nothing is written to one that has not begun.
3. `recorded` is the ledger's clock, read under the lock and kept as read.
4. Unique (chain, seq), and `prev` that must be the hash before, are the backstop: neither a fork
   nor a gap can commit.
5. Events and checkpoints are never changed or deleted; disclosures are erased, exhibits redacted,
   keys replaced.
6. Opening a wrong path is an error, never an empty ledger.

SQLite by path today. Another database is a folder beside `sqlite/` with a `Store` and a `Writing`
of its own, a line in `opening.py`, and a backend in `tests/store/backends.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, Protocol

from ledger.chain.disclosure import digest_of, make_disclosure
from ledger.chain.event import Event, make_event, parse_event
from ledger.chain.hashing import BEGINNING
from ledger.errors import InputError, IntegrityError
from ledger.record.accepted import Accepted, Order, subject_of


class Stored(NamedTuple):
    """An event in the store; `body` is the canonical JSON text as hashed.

    The first three are its place in ledger order: sorted, events are in that order. `clock` is the
    latest `recorded` of the chain up to the event.
    """

    clock: str
    chain: str
    seq: int
    body: str

    @property
    def id(self) -> str:
        return f"{self.chain}:{self.seq}"

    @property
    def order(self) -> Order:
        """Its place in ledger order."""
        return self.clock, self.chain, self.seq

    @property
    def event(self) -> Event:
        """The parsed body; IntegrityError if it was changed."""
        try:
            return _parsed(self.body)
        except InputError as error:
            raise IntegrityError(
                f"the event {self.id} is not as it was written: {error.message}",
                hint=error.hint
                or "weighbook audit says what was changed; copies that others hold stay valid.",
            ) from error


@lru_cache(maxsize=10_000)  # a question reads its events several times
def _parsed(body: str) -> Event:
    return parse_event(body.encode())


class Head(NamedTuple):
    """The end of a chain: length, last hash (32 bytes), and the latest `recorded` in it."""

    seq: int = 0
    hash: bytes = BEGINNING
    clock: str = ""


class Last(NamedTuple):
    """The event accepted last: its id, its hash (32 bytes), when it was recorded."""

    id: str
    hash: bytes
    recorded: str


class Row(NamedTuple):
    """One row of the event table, beside its position, in the table's column order."""

    chain: str
    seq: int
    prev: bytes
    hash: bytes
    body: str
    kind: str
    recorded: str
    clock: str
    entered: str | None
    game: str | None
    team: str | None
    player: str | None
    subject: str | None
    ref: str | None


@dataclass(frozen=True)
class Disclosure:
    """A disclosure row: the personal text of one field of one event."""

    chain: str
    seq: int
    field: str
    text: str

    @property
    def event_id(self) -> str:
        return f"{self.chain}:{self.seq}"


def make_rows(
    bodies: Sequence[Accepted], *, chain: str, head: Head, recorded: str
) -> tuple[list[Row], list[Disclosure]]:
    """Rows that carry the chain on from `head`, and their disclosures."""
    rows, disclosures = [], []
    seq, prev, _ = head
    clock = max(head[2], recorded)
    for accepted in bodies:
        seq += 1
        kind, data, body = accepted.kind, accepted.data, accepted.body
        if accepted.personal:
            texts = {key: make_disclosure(key, text) for key, text in accepted.personal.items()}
            digests = {key: digest_of(text) for key, text in texts.items()}
            body["data"] = data | {"digests": digests}
            disclosures += [Disclosure(chain, seq, key, text) for key, text in texts.items()]
        made, hashed = make_event(body, chain=chain, seq=seq, prev=prev, recorded=recorded)
        rows.append(
            # By place, not by name: half the time, and a test holds them against the columns.
            Row(
                chain, seq, prev, hashed, made.decode(), kind, recorded, clock,
                accepted.entered, accepted.game, accepted.team, accepted.player,
                subject_of(kind, data), data.get("ref"),
            )
        )  # fmt: skip
        prev = hashed
    return rows, disclosures


@dataclass(frozen=True)
class StoredCheckpoint:
    """A checkpoint row: the note's text with its signatures, as it was signed."""

    chain: str
    size: int
    note: str


class Writing(Protocol):
    """An open transaction that holds the ledger's write lock."""

    @property
    def store(self) -> Store: ...

    @property
    def recorded(self) -> str:
        """The ledger's clock as read under the lock; every event of this transaction has it."""
        ...

    def append(self, bodies: Sequence[Accepted], *, chain: str) -> list[str]:
        """Append and return the event ids; nothing is there until the transaction ends.

        InputError for a chain that has not begun: its first event is its `chain_key`.
        """
        ...

    def keep_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        """Keep a signed checkpoint; it is never changed."""
        ...

    def keep_key(self, name: str, sealed: bytes) -> None:
        """Keep a key under its name, in place of the one before."""
        ...

    def keep_exhibit(self, sha256: str, name: str, content: bytes) -> None:
        """Keep a file handed in, under its SHA-256 (hex); the same file again is nothing new."""
        ...

    def drop_disclosures(self, ids: Sequence[str]) -> int:
        """Delete the personal text of these events; how many texts there were."""
        ...

    def drop_exhibit(self, sha256: str) -> None:
        """Delete a kept file."""
        ...


class Store(Protocol):
    """Reading and writing of one ledger. What has a body here is the same for every database."""

    clock: Callable[[], str]
    """The ledger's clock: UTC text."""

    def writing(self) -> AbstractContextManager[Writing]:
        """The write lock and a transaction: committed at the end, undone by any exception."""
        ...

    def events(self, **where: Sequence[str]) -> Iterator[Stored]:
        """Events in ledger order; `where` gives allowed values by column.

        Columns: kind, game, team, player, subject, chain, ref. No condition: every event. With
        `outside_games=["yes"]` only events without a game, with `with_ref` those that have a ref.
        """
        ...

    def events_after(self, chain: str, seq: int) -> Iterator[Stored]:
        """The chain's events with a greater `seq`, in order."""
        ...

    def entered_last(
        self, *, as_of: str | None = None, known_at: str | None = None
    ) -> Iterator[Stored]:
        """Statements, and corrections of tables, entered by `as_of` and recorded by `known_at`; the
        latest entered first.
        """
        ...

    def events_by_id(self, ids: Sequence[str]) -> Iterator[Stored]:
        """The events with these ids, in that order; InputError for one that is not there."""
        ...

    def event(self, event_id: str) -> Event:
        """The event with this id; InputError where it is not there."""
        (stored,) = self.events_by_id([event_id])
        return stored.event

    def head(self, chain: str) -> Head:
        """The chain's end; Head() for a chain that has no events."""
        ...

    def last(self) -> Last:
        """The event accepted last, of any chain; StoreError for a ledger without events."""
        ...

    def lengths(self) -> Mapping[str, int]:
        """The number of events of every chain, by name."""
        ...

    def count_by_game(self) -> Mapping[str, int]:
        """The number of events of every game, by id."""
        ...

    def disclosures(self, ids: Sequence[str] | None = None) -> Iterator[Disclosure]:
        """The disclosures of these events (all of them without `ids`), in order."""
        ...

    def hashes(self, chain: str, *, after: int = 0) -> list[bytes]:
        """The hashes of the chain's events with a greater `seq`, in order, 32 bytes each."""
        ...

    def checkpoints(self) -> Iterator[StoredCheckpoint]:
        """Every kept checkpoint, in the order of keeping."""
        ...

    def key(self, name: str) -> bytes | None:
        """The key kept under that name, as it was kept."""
        ...

    def exhibits(self) -> Mapping[str, str]:
        """The names of the files handed in, by their SHA-256 (hex)."""
        ...

    def exhibit(self, sha256: str) -> tuple[str, bytes] | None:
        """Name and content of a file handed in; None where it is not kept."""
        ...

    def forget_free_space(self) -> None:
        """Rewrite what is on the disk, so that nothing deleted is left there.

        StoreError where that cannot be done, such as while another program reads it.
        """
        ...

    def close(self) -> None:
        """Let go of the file or connection."""
        ...
