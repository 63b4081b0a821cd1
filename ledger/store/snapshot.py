"""What acceptance asks of a ledger, by index; and a snapshot of it that a process keeps warm."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from contextlib import suppress
from operator import attrgetter

from ledger.errors import InputError
from ledger.record.fields import UNLISTED
from ledger.record.kinds import BRINGS_IN, ROSTER
from ledger.record.known import Found, Topic, topics_of
from ledger.store.store import Store, Stored

MOST_BEHIND = 10_000
"""Events to catch up with one by one; behind more, it is quicker to start over."""

_ORDER = attrgetter("order")


class ByIndex:
    """A `ledger.record.known.Source` that keeps nothing: it reads the ledger as it is now."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def find(self, topic: Topic, names: Collection[str]) -> list[Found]:
        return [_found(stored) for stored in sorted(self._stored(topic, list(names)))]

    def find_all(self, topic: Topic, chain: str) -> Iterator[Found]:
        if topic == "ref":
            return map(_found, self.store.events(chain=[chain], with_ref=["yes"]))
        if topic == "statement":
            return iter(())
        within = {"chain": [chain]} if chain else {}
        return map(_found, self.store.events(kind=BRINGS_IN[topic], **within))

    def _stored(self, topic: Topic, names: list[str]) -> Iterator[Stored]:
        store = self.store
        match topic:
            case "team":
                yield from store.events(kind=BRINGS_IN[topic], team=names, outside_games=["yes"])
            case "game":
                yield from store.events(kind=BRINGS_IN[topic], game=names)
            case "official":
                yield from store.events(kind=BRINGS_IN[topic], subject=names)
            case "player":
                listed = [name for name in names if not name.startswith(UNLISTED)]
                yield from store.events(kind=BRINGS_IN[topic], player=listed)
                yield from store.events(player=sorted({*names} - {*listed}))
            case "statement":
                for name in names:
                    with suppress(InputError):
                        yield from store.events_by_id([name])
            case "ref":
                for chain, refs in _by_chain(names):
                    yield from store.events(chain=[chain], ref=refs)
            case "case":
                for chain, cases in _by_chain(names):
                    yield from store.events(kind=BRINGS_IN[topic], subject=cases, chain=[chain])
            case "moves":
                yield from store.events(kind=ROSTER, team=names, outside_games=["yes"])
            case "kickoffs":
                yield from store.events(kind=["game_change"], game=names)
            case "withdrawals":
                yield from store.events(kind=["withdraw"], subject=names)


class Snapshot:
    """A `Source` that keeps what it has read of a ledger, as that was at certain lengths.

    Nothing else teaches it, so that a statement that was refused or undone leaves no trace. One
    for a process and thread; give every acceptance a `Known` of its own.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self._source = ByIndex(store)
        self._kept: dict[tuple[Topic, str], list[Found]] = {}
        self._lengths: dict[str, int] = dict(store.lengths())

    def follow(self) -> bool:
        """Catch up with the ledger; whether there was anything new. Inside a transaction this is
        for its beginning, before anything is written in it.
        """
        lengths = dict(self.store.lengths())
        if lengths == self._lengths:
            return False
        before = {chain: self._lengths.get(chain, 0) for chain in lengths}
        if sum(lengths.values()) - sum(before.values()) > MOST_BEHIND:
            self._kept, self._lengths = {}, lengths
            return True
        for chain, length in lengths.items():
            if length > before[chain]:
                for stored in self.store.events_after(chain, before[chain]):
                    if stored.seq > length:
                        break
                    self._take(_found(stored))
                self._lengths[chain] = length
        return True

    def find(self, topic: Topic, names: Collection[str]) -> Iterable[Found]:
        missing = {name for name in names if (topic, name) not in self._kept}
        if missing:
            read: dict[tuple[Topic, str], list[Found]] = {(topic, name): [] for name in missing}
            for found in filter(self._is_within, self._source.find(topic, missing)):
                for key in found.topics:
                    if key in read:
                        read[key].append(found)
            self._kept |= read
        kept = [one for name in names for one in self._kept[topic, name]]
        return sorted(kept, key=_ORDER)

    def find_all(self, topic: Topic, chain: str) -> Iterator[Found]:
        return filter(self._is_within, self._source.find_all(topic, chain))

    def _take(self, found: Found) -> None:
        for key in found.topics:
            if key in self._kept:
                self._kept[key].append(found)

    def _is_within(self, found: Found) -> bool:
        _, chain, seq = found.order
        return seq <= self._lengths.get(chain, 0)


def _found(stored: Stored) -> Found:
    event, event_id = stored.event, stored.id
    return Found(event, event_id, stored.order, list(topics_of(event, event_id)))


def _by_chain(names: Iterable[str]) -> Iterator[tuple[str, list[str]]]:
    by_chain = defaultdict[str, list[str]](list)
    for name in names:
        chain, _, own = name.partition(":")
        by_chain[chain].append(own)
    return iter(by_chain.items())
