"""Several acts in one transaction, each accepted or refused by itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from operator import attrgetter

from ledger.errors import FolderError
from ledger.record.accepted import Accepted
from ledger.record.known import Found, Known, Topic, topics_of
from ledger.record.statements import Statement
from ledger.store.chains import begin_chain
from ledger.store.league import first_league
from ledger.store.recording import accept_next, typed
from ledger.store.snapshot import Snapshot
from ledger.store.store import Writing

_ORDER = attrgetter("order")


class Group:
    """An open transaction that acts go into, one after the other.

    An act sees those before it. One that is refused leaves no trace, and the others stay.
    """

    def __init__(self, writing: Writing, snapshot: Snapshot, chain: str) -> None:
        self.writing = writing
        self.chain = chain
        self._source = _WithNewer(snapshot)

    def with_ref(self, ref: str) -> str | None:
        """The id of the event with this ref in the chain."""
        return Known(self._source).chains[self.chain].refs.get(ref)

    def add(self, statements: Sequence[Statement]) -> list[str]:
        """Append these statements in this order, or none; their event ids, or FolderError."""
        writing, known, candidates = self.writing, Known(self._source), typed(statements)
        head, recorded = writing.store.head(self.chain), writing.recorded
        is_new = not head.seq  # its key comes first, and only with something that is accepted
        accepted, faults = accept_next(
            known, candidates, self.chain, head, recorded, rows=int(is_new)
        )
        if faults:
            raise FolderError(faults)
        if is_new:
            begin_chain(writing, self.chain, first_league(writing.store))
        ids = writing.append(accepted, chain=self.chain)
        clock, first = max(head.clock, recorded), head.seq + 1 + is_new
        for seq, (one, event_id) in enumerate(zip(accepted, ids, strict=True), first):
            self._source.take(one, event_id, (clock, self.chain, seq))
        return ids


@contextmanager
def grouping(snapshot: Snapshot, chain: str) -> Iterator[Group]:
    """A transaction for a group, in which the snapshot has caught up with the ledger."""
    with snapshot.store.writing() as writing:
        snapshot.follow()
        yield Group(writing, snapshot, chain)


class _WithNewer:
    """A `ledger.record.known.Source`: a snapshot, and what was appended in this transaction."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._newer: dict[tuple[Topic, str], list[Found]] = defaultdict(list)

    def take(self, accepted: Accepted, event_id: str, order: tuple[str, str, int]) -> None:
        found = Found(accepted, event_id, order, list(topics_of(accepted, event_id)))
        for key in found.topics:
            self._newer[key].append(found)

    def find(self, topic: Topic, names: Collection[str]) -> list[Found]:
        newer = [one for name in names for one in self._newer.get((topic, name), ())]
        return sorted([*self._snapshot.find(topic, names), *newer], key=_ORDER)

    def find_all(self, topic: Topic, chain: str) -> Iterator[Found]:
        yield from self._snapshot.find_all(topic, chain)
        for (own, _), newer in list(self._newer.items()):
            yield from newer if own == topic else ()
