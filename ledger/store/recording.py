"""How statements come in one by one, or a few together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from ledger.errors import Fault, FolderError
from ledger.record.accept import Candidate, accept
from ledger.record.accepted import Accepted
from ledger.record.known import Known
from ledger.record.reading import entry_place
from ledger.record.statements import Statement
from ledger.record.unread_lines import UnreadLines
from ledger.store.acts import Signer, append_act
from ledger.store.chains import begin_chain
from ledger.store.league import first_league
from ledger.store.snapshot import ByIndex, Snapshot
from ledger.store.store import Head, Writing
from ledger.store.trees import Trees


@dataclass(frozen=True)
class Recording:
    """A transaction that statements go into, and what is known in it; thrown away with it."""

    writing: Writing
    known: Known
    trees: Trees | None = None

    def record(
        self,
        statements: Sequence[Statement],
        *,
        chain: str,
        signer: Signer | None = None,
        kept: Mapping[str, object] | None = None,
    ) -> list[str]:
        """Append these statements in this order, or none; their event ids, or FolderError.

        A `signer` signs each: for statements that are acts. `kept` goes into the data of each.
        """
        store = self.writing.store
        if not store.head(chain).seq:
            begin_chain(self.writing, chain, first_league(store), self.trees)
        candidates = typed(statements)
        head, recorded = store.head(chain), self.writing.recorded
        accepted, faults = accept_next(self.known, candidates, chain, head, recorded)
        if faults:
            raise FolderError(faults)
        if kept:
            accepted = [replace(one, data={**one.data, **kept}) for one in accepted]
        if signer is not None:
            return [append_act(self.writing, one, chain=chain, signer=signer) for one in accepted]
        return self.writing.append(accepted, chain=chain)


def record_statement(
    writing: Writing,
    statement: Statement,
    *,
    chain: str,
    signer: Signer | None = None,
    kept: Mapping[str, object] | None = None,
) -> str:
    """Append one statement and return its event id; FolderError when it is not accepted.

    `kept` is what the program adds to its data.
    """
    own = Recording(writing, Known(ByIndex(writing.store)))
    return own.record([statement], chain=chain, signer=signer, kept=kept)[0]


def record_statements(
    writing: Writing, statements: Sequence[Statement], *, chain: str, signer: Signer | None = None
) -> list[str]:
    """Append these statements in this order, or none; their event ids, or FolderError.

    A `signer` signs each: for statements that are acts.
    """
    recording = Recording(writing, Known(ByIndex(writing.store)))
    return recording.record(statements, chain=chain, signer=signer)


@contextmanager
def recording(snapshot: Snapshot) -> Iterator[Recording]:
    """A transaction in which the snapshot has caught up with the ledger.

    What is recorded in it, refused or undone teaches the snapshot nothing: it learns by reading.
    """
    with snapshot.store.writing() as writing:
        snapshot.follow()
        yield Recording(writing, Known(snapshot))


def record_alone(snapshot: Snapshot, statements: Sequence[Statement], *, chain: str) -> list[str]:
    """Append these statements in this order, or none, in a transaction of their own.

    Returns their event ids, or raises FolderError. They are accepted before the lock, where all
    that they need is read and faults are worded; under it again only if something new came in, so
    that others wait for milliseconds.
    """
    snapshot.follow()
    store = snapshot.store
    candidates = typed(statements)
    head = store.head(chain)
    accepted, faults = accept_next(Known(snapshot), candidates, chain, head, store.clock())
    if faults:
        raise FolderError(faults)
    trees = None if head.seq else Trees(store)  # a new chain names the heads of all others
    if trees:
        trees.catch_up()
    with store.writing() as writing:
        # Several may turn on one another by the clock, which is read under the lock.
        if snapshot.follow() or len(statements) > 1 or not head.seq:
            return Recording(writing, Known(snapshot), trees).record(statements, chain=chain)
        return writing.append(accepted, chain=chain)


def accept_next(
    known: Known,
    candidates: Sequence[Candidate],
    chain: str,
    head: Head,
    recorded: str,
    *,
    rows: int = 0,
    broken: UnreadLines | None = None,
) -> tuple[list[Accepted], list[Fault]]:
    """Accept statements that will follow this many new rows at the end of the chain."""
    clock = max(head.clock, recorded)
    seq = head.seq + rows + 1
    return accept(known, candidates, chain=chain, seq=seq, clock=clock, broken=broken)


def typed(statements: Sequence[Statement]) -> list[Candidate]:
    """These statements as candidates, each with its place among several: "entry 2"."""
    count = len(statements)
    return [Candidate(one, entry_place(n, count)) for n, one in enumerate(statements, 1)]
