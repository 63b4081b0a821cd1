"""Step 4: officials' keys from their events, and which key was in force for a signature.

The events that a signature covers decide, not clocks. It covers the events before it in its own
chain and, of every chain that it names, those up to the named length. A key that a covered event
revokes or replaces was not in force. In older ledgers key events may leave the order open; then it
is ledger order. A key for one game counts only for lists of that game, and only if the official has
no key for the season.

A key that a phone holds comes with the phone's proof that it has it, and signs lists alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ledger.audit.checkpoints import Chain
from ledger.audit.report import Judged, Problem
from ledger.chain.event import HELD, Event
from ledger.chain.note import COSIGNATURE, VerifierKey, parse_verifier_key
from ledger.chain.others import parse_others
from ledger.chain.phone import check_key_proof
from ledger.errors import InputError, IntegrityError

KEY_KINDS = ("official_key", "key_revoked")


@dataclass(frozen=True)
class _Stated:
    """A readable key event; `line` is the key as text."""

    event: Event
    line: str
    game: str | None

    @property
    def is_made(self) -> bool:
        return self.event.kind == "official_key"


@dataclass(frozen=True)
class KeyInForce:
    """A key with which an event could be signed; `is_on_phone`: a phone holds it."""

    key: VerifierKey
    is_on_phone: bool


class Keys:
    """Every key that there ever was. `events` are the key events in ledger order."""

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

    def in_force_for(self, event: Event) -> KeyInForce | None:
        """Return the key with which its `by` could sign this event, or None."""
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
        if own is None:
            return None
        return KeyInForce(parse_verifier_key(own.line), own.event.data.get("held") == HELD)

    def in_force_before(self, event: Event, order: Mapping[str, int]) -> bool:
        """Whether its `by` had a key for the season before the event, in ledger order."""
        own, place = self._stated.get(str(event.by), []), order[event.id]
        return _latest([one for one in own if order[one.event.id] < place], None) is not None

    def earlier_than(self, event: Event) -> bool:
        """Whether the official of this key event had a key for that game or season before."""
        official, game = str(event.data.get("official")), event.data.get("game")
        own = [one for one in self._stated.get(official, []) if one.is_made and one.game == game]
        ids = [one.event.id for one in own]
        return "replaces" in event.data or event.id in ids[1:]

    def _learn(self, event: Event) -> Iterator[Problem]:
        """Take an official_key event."""
        official, line = str(event.data.get("official")), str(event.data.get("key"))
        game = event.data.get("game")
        try:
            key = parse_verifier_key(line)
        except InputError as error:
            yield _unknown(event, f"its key cannot be read: {error.message}")
            return
        own = self._chains[event.chain].key if event.chain in self._chains else None
        name = f"{official}@{own.name}" + f"#{game}" * (game is not None) if own else key.name
        if key.kind != COSIGNATURE or key.name != name:
            yield _unknown(event, f"its key is not in the name of {official}")
        # Cosigned bytes do not name the cosigner, so two people must not share a key.
        if (owner := self._owners.setdefault(key.public, official)) != official:
            yield _unknown(event, f"the key of {official} is also the key of {owner}")
        if "held" in event.data:
            yield from _check_held(event, key)
        self.known.append(key)
        self._stated.setdefault(official, []).append(_Stated(event, line, game))

    def _check_named(self, event: Event) -> Iterator[Problem]:
        """Check that the revoked or replaced key was this official's; take a revocation."""
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
            yield _unknown(event, f"it {what} a key that {official} does not have")
        elif is_revoked:
            self._stated[official].append(_Stated(event, str(line), named[0].game))


def _check_held(event: Event, key: VerifierKey) -> Iterator[Problem]:
    """Check that the phone showed that it has the key."""
    if event.data["held"] != HELD:
        yield _unknown(event, "its key is held in a way that this program does not know")
        return
    try:
        check_key_proof(key, str(event.data.get("proof")))
    except (InputError, IntegrityError):
        what = "the phone did not show that it has the key"
        yield Problem.of_event(event, "bad signature", what)


def _latest(stated: Sequence[_Stated], game: str | None) -> _Stated | None:
    """Return the key in force after these events, which are in ledger order."""
    revoked = {one.line for one in stated if not one.is_made}
    replaced = {one.event.data.get("replaces") for one in stated if one.is_made}
    found = None
    for one in stated:
        if one.is_made and one.game == game and one.line not in replaced:
            found = None if one.line in revoked else one
    return found


def _unknown(event: Event, detail: str) -> Problem:
    return Problem.of_event(event, "unknown key", detail)
