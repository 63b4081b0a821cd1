"""Step 4: officials' keys in force, the cosigned checkpoint of every countersignature, and what it
says of the ledger's other chains.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ledger.audit.checkpoints import Chain, StoredNote
from ledger.audit.naming import PlaceOf, check_others
from ledger.audit.report import Judged, Problem
from ledger.audit.rows import Placed
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.event import Event
from ledger.chain.note import COSIGNATURE, VerifierKey, parse_verifier_key
from ledger.chain.others import parse_others
from ledger.errors import InputError, IntegrityError

KINDS = ("official_key", "key_revoked", "countersign")


def check_signatures(
    events: Iterable[Placed],
    keys: Keys,
    chains: Mapping[str, Chain],
    stored: Sequence[StoredNote],
    judged: Judged,
    place_of: PlaceOf,
) -> Iterator[Problem]:
    """Walk key events and countersignatures in ledger order; each note belongs to one of them.

    Marks on each chain how far a cosignature that holds reaches, and what it tells. Events in
    `judged` are not believed, nor judged again. `place_of` gives an event's place in ledger order.
    """
    notes: dict[tuple[str, int], list[StoredNote]] = {}
    for one in stored:
        notes.setdefault((one.chain, one.size), []).append(one)
    for position, _, event in events:
        if event.kind != "countersign":
            yield from () if (event.chain, event.seq) in judged else keys.learn(event)
        elif is_signed(event):
            own = notes.pop((event.chain, event.seq), [])
            if (event.chain, event.seq) not in judged:
                others = check_others(event, position, chains, place_of)
                wrong = [*others, *_check_countersign(event, keys, chains, own)]
                yield from wrong
                if not wrong:
                    _mark_told(event, chains)
    for (chain, size), rest in sorted(notes.items()):
        for _ in rest:
            what = "a stored checkpoint that no countersignature made"
            yield Problem(chain, size, "altered", what)


def is_signed(event: Event) -> bool:
    """Whether a countersign event was made by signing here; one of a day file only states it."""
    return event.kind == "countersign" and ("list" in event.data or "how" in event.data)


class Keys:
    """The key in force of each official, event by event, and all that ever were."""

    def __init__(self, chains: Mapping[str, Chain]) -> None:
        self.in_force: dict[str, VerifierKey] = {}
        self.known: list[VerifierKey] = []
        self._chains = chains
        self._owners = {chain.key.public: chain.name for chain in chains.values() if chain.key}

    def learn(self, event: Event) -> Iterator[Problem]:
        """Take an official_key or key_revoked."""
        official = str(event.data.get("official"))
        try:
            key = parse_verifier_key(str(event.data.get("key")))
        except InputError as error:
            yield _at(event, "unknown key", f"its key cannot be read: {error.message}")
            return
        if event.kind == "key_revoked":
            if self.in_force.pop(official, None) != key:
                yield _at(event, "unknown key", f"it revokes a key that {official} has not")
            return
        own = self._chains[event.chain].key if event.chain in self._chains else None
        if key.kind != COSIGNATURE or (own and key.name != f"{official}@{own.name}"):
            yield _at(event, "unknown key", f"its key does not bear the name of {official}")
        # What is cosigned does not name the cosigner: a key of two people is nobody's.
        if self._owners.setdefault(key.public, official) != official:
            what = f"the key of {official} is that of {self._owners[key.public]}"
            yield _at(event, "unknown key", what)
        self.in_force[official] = key
        self.known.append(key)


def _check_countersign(
    event: Event, keys: Keys, chains: Mapping[str, Chain], notes: Sequence[StoredNote]
) -> Iterator[Problem]:
    how, official = event.data.get("how"), event.by
    if how == "ink":
        for _ in notes:
            yield _at(event, "altered", "signed in ink, and yet a checkpoint is stored for it")
        return
    if how != "key":
        yield _at(event, "bad signature", "neither signed by a key nor in ink")
        return
    if not notes:
        yield _at(event, "gap", f"the checkpoint that {official} cosigned is missing")
    for _ in notes[1:]:
        yield _at(event, "altered", "two checkpoints are stored for it")
    key = keys.in_force.get(str(official))
    if key is None:
        yield _at(event, "unknown key", f"{official} had no key in force")
        return
    for stored in notes[:1]:
        yield from _check_cosigned(event, stored, key, chains[event.chain])


def _mark_told(event: Event, chains: Mapping[str, Chain]) -> None:
    sizes = {name: state.size for name, state in parse_others(event.data).items()}
    chains[event.chain].tells.append((event.seq, sizes))
    if event.data["how"] == "key":
        for name, size in (sizes | {event.chain: event.seq}).items():
            chains[name].witnessed = max(chains[name].witnessed, size)


def _check_cosigned(
    event: Event, stored: StoredNote, key: VerifierKey, chain: Chain
) -> Iterator[Problem]:
    try:
        if not check_cosignatures(stored.note, [key]):
            what = f"not cosigned by the key of {event.by} in force then"
            yield _at(event, "unknown key", what)
            return
    except IntegrityError as error:
        yield _at(event, "bad signature", f"the cosignature of {event.by}: {error.message}")
    # The writer puts the chain's signature first, then the one official's: no line more.
    lines = stored.note.signatures
    if len(lines) != 2 or not lines[1].is_by(key) or not (chain.key and lines[0].is_by(chain.key)):
        what = "its stored checkpoint does not bear two signatures, the chain's and the official's"
        yield _at(event, "unknown key", what)


def _at(event: Event, problem: str, detail: str) -> Problem:
    return Problem(event.chain, event.seq, problem, detail)
