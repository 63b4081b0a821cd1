"""Officials' keys as their events state them, and which was in force for a signature.

What a signature covers tells that, and no clock: the key events before it in its own chain and, of
every chain that it names, those up to the length named. A key that a covered event revokes, or
names as replaced, was not in force; where key events of older ledgers leave the order open, it is
ledger order. A key for one game counts for lists of that game only, and after the season's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ledger.audit.checkpoints import Chain
from ledger.audit.report import Judged, Problem
from ledger.chain.event import Event
from ledger.chain.note import COSIGNATURE, VerifierKey, parse_verifier_key
from ledger.chain.others import parse_others
from ledger.errors import InputError

KEY_KINDS = ("official_key", "key_revoked")


@dataclass(frozen=True)
class _Stated:
    """A key event that could be read; `line` is the key as text."""

    event: Event
    official: str
    line: str
    game: str | None

    @property
    def is_made(self) -> bool:
        return self.event.kind == "official_key"


class Keys:
    """Every key that ever was. `events` are the key events in ledger order."""

    def __init__(self, events: Sequence[Event], chains: Mapping[str, Chain], judged: Judged):
        self.known: list[VerifierKey] = []
        self.problems: list[Problem] = []
        self._chains = chains
        self._owners = {chain.key.public: chain.name for chain in chains.values() if chain.key}
        self._stated: dict[str, list[_Stated]] = {}
        events = [event for event in events if (event.chain, event.seq) not in judged]
        for event in events:
            if event.kind == "official_key":
                self.problems += self._learn(event)
        for event in events:
            self.problems += self._check_named(event)
        order = {event.id: place for place, event in enumerate(events)}
        for stated in self._stated.values():
            stated.sort(key=lambda one: order[one.event.id])

    def in_force_for(self, event: Event) -> VerifierKey | None:
        """The key with which its `by` could sign this event; None where there was none."""
        try:
            others = parse_others(event.data)
        except InputError:
            others = {}
        covered = [
            one
            for one in self._stated.get(str(event.by), [])
            if (one.event.chain == event.chain and one.event.seq < event.seq)
            or (one.event.chain in others and one.event.seq <= others[one.event.chain].size)
        ]
        own = _latest(covered, None)
        if own is None and event.kind == "countersign" and event.game is not None:
            own = _latest(covered, event.game)
        return parse_verifier_key(own.line) if own else None

    def in_force_before(self, event: Event, order: Mapping[str, int]) -> bool:
        """Whether its `by` had a key of the season when, by ledger order, this was recorded."""
        earlier = [
            one
            for one in self._stated.get(str(event.by), [])
            if order[one.event.id] < order[event.id]
        ]
        return _latest(earlier, None) is not None

    def earlier_than(self, event: Event) -> bool:
        """Whether the official of this key event had a key of that kind before."""
        official, game = str(event.data.get("official")), event.data.get("game")
        own = [one for one in self._stated.get(official, []) if one.is_made and one.game == game]
        ids = [one.event.id for one in own]
        return "replaces" in event.data or event.id in ids[1:]

    def _learn(self, event: Event) -> Iterator[Problem]:
        """Take an official_key."""
        official, line = str(event.data.get("official")), str(event.data.get("key"))
        game = event.data.get("game")
        try:
            key = parse_verifier_key(line)
        except InputError as error:
            yield _at(event, f"its key cannot be read: {error.message}")
            return
        own = self._chains[event.chain].key if event.chain in self._chains else None
        name = f"{official}@{own.name}" + f"#{game}" * (game is not None) if own else key.name
        if key.kind != COSIGNATURE or key.name != name:
            yield _at(event, f"its key does not bear the name of {official}")
        # What is cosigned does not name the cosigner: a key of two people is nobody's.
        if self._owners.setdefault(key.public, official) != official:
            what = f"the key of {official} is that of {self._owners[key.public]}"
            yield _at(event, what)
        self.known.append(key)
        self._stated.setdefault(official, []).append(_Stated(event, official, line, game))

    def _check_named(self, event: Event) -> Iterator[Problem]:
        """Whether the key that an event revokes or replaces was this official's; take the first."""
        official = str(event.data.get("official"))
        is_revoked = event.kind == "key_revoked"
        line = event.data.get("key" if is_revoked else "replaces")
        if line is None and not is_revoked:
            return
        named = [
            one
            for one in self._stated.get(official, [])
            if one.line == line
            and one.is_made
            and (one.event.chain != event.chain or one.event.seq < event.seq)
        ]
        if not named:
            what = "revokes" if is_revoked else "replaces"
            yield _at(event, f"it {what} a key that {official} has not")
        elif is_revoked:
            self._stated[official].append(_Stated(event, official, str(line), named[0].game))


def _latest(stated: Sequence[_Stated], game: str | None) -> _Stated | None:
    """The key in force after these events, which come in ledger order."""
    revoked = {one.line for one in stated if not one.is_made}
    replaced = {one.event.data.get("replaces") for one in stated if one.is_made}
    found = None
    for one in stated:
        if one.is_made and one.game == game and one.line not in replaced:
            found = None if one.line in revoked else one
    return found


def _at(event: Event, detail: str) -> Problem:
    return Problem(event.chain, event.seq, "unknown key", detail)
