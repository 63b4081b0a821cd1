"""Step 4: the cosigned checkpoint of every countersignature and signed act.

The key must be the one that the official had in force then. What the event says about other chains
must fit them. On a phone the key signs the list itself, with the chains as the phone saw them
(`ledger.audit.phones`); its checkpoint comes later.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ledger.audit.authority import is_correction
from ledger.audit.checkpoints import Chain, StoredNote
from ledger.audit.keys import Keys
from ledger.audit.naming import PlaceOf, check_others
from ledger.audit.phones import check_phone
from ledger.audit.report import Judged, Problem
from ledger.audit.rows import Placed
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.event import HELD, Event
from ledger.chain.note import VerifierKey
from ledger.chain.others import parse_others
from ledger.errors import IntegrityError

ACTS = ("official_key", "key_revoked", "erasure", "redaction", "season_close")
TABLES = ("league", "division", "team", "player", "official", "game")
"""A correction of a row of these is an act too."""
KINDS = ("countersign", *ACTS, *TABLES)


def check_signatures(
    events: Iterable[Placed],
    keys: Keys,
    chains: Mapping[str, Chain],
    stored: Sequence[StoredNote],
    judged: Judged,
    place_of: PlaceOf,
) -> Iterator[Problem]:
    """Check each countersignature and signed act; each stored note must belong to one of them.

    Marks on each chain how far valid cosignatures reach and what they name. Skips events in
    `judged`. `place_of` returns an event's place in the order of acceptance.
    """
    notes: dict[tuple[str, int], list[StoredNote]] = {}
    for one in stored:
        notes.setdefault((one.chain, one.size), []).append(one)
    signatures: dict[str, str] = {}
    for position, _, event in events:
        if not is_signed(event) and not is_signed_act(event):
            continue
        own = notes.pop((event.chain, event.seq), [])
        if (event.chain, event.seq) not in judged:
            others = check_others(event, position, chains, place_of)
            wrong = [*others, *_check_signed(event, keys, chains, own)]
            if not wrong and is_by_phone(event):
                wrong += check_phone(event, keys, chains, signatures)
            yield from wrong
            if not wrong:
                _mark(event, chains, is_witnessed=bool(own))
    for (chain, size), rest in sorted(notes.items()):
        for _ in rest:
            what = "a stored checkpoint that belongs to no countersignature or signed act"
            yield Problem(chain, size, "altered", what)


def is_signed(event: Event) -> bool:
    """Whether the event was signed here; a countersign line of a day file only reports one."""
    return event.kind == "countersign" and ("list" in event.data or "how" in event.data)


def is_by_phone(event: Event) -> bool:
    """Whether it says that a phone's key signed a list."""
    return event.kind == "countersign" and event.data.get("how") == HELD


def is_act(event: Event) -> bool:
    """Whether the event is an act that needs a role."""
    return event.kind in ACTS or is_correction(event)


def is_signed_act(event: Event) -> bool:
    """Whether an act says that it is signed."""
    return is_act(event) and "how" in event.data


def _check_signed(
    event: Event, keys: Keys, chains: Mapping[str, Chain], notes: Sequence[StoredNote]
) -> Iterator[Problem]:
    how, official = event.data.get("how"), event.by
    if how == "ink" and event.kind == "countersign":
        for _ in notes:
            yield _at(event, "altered", "signed in ink, but a checkpoint is stored for it")
        return
    if how != "key" and not is_by_phone(event):
        yield _at(event, "bad signature", "signed neither with a key nor in ink")
        return
    if not notes and how == "key":
        yield _at(event, "gap", f"the checkpoint that {official} cosigned is missing")
    for _ in notes[1:]:
        yield _at(event, "altered", "two checkpoints are stored for it")
    known = keys.in_force_for(event)
    if known is None or known.is_on_phone != (how == HELD):
        which = "on a phone" if how == HELD else "with a passphrase"
        what = "had no key in force" if known is None else f"had no key {which} in force"
        yield _at(event, "unknown key", f"{official} {what}")
        return
    for stored in notes[:1]:
        yield from _check_cosigned(event, stored, known.key, chains[event.chain])


def _mark(event: Event, chains: Mapping[str, Chain], *, is_witnessed: bool) -> None:
    sizes = {name: state.size for name, state in parse_others(event.data).items()}
    chains[event.chain].names.append((event.seq, sizes))
    if is_witnessed:
        for name, size in (sizes | {event.chain: event.seq}).items():
            chains[name].witnessed = max(chains[name].witnessed, size)


def _check_cosigned(
    event: Event, stored: StoredNote, key: VerifierKey, chain: Chain
) -> Iterator[Problem]:
    try:
        if not check_cosignatures(stored.note, [key]):
            what = f"not cosigned with the key that {event.by} had in force then"
            yield _at(event, "unknown key", what)
            return
    except IntegrityError as error:
        yield _at(event, "bad signature", f"the cosignature of {event.by}: {error.message}")
    # The writer puts the chain's signature first, then one official's, and no other line.
    lines = stored.note.signatures
    if len(lines) != 2 or not lines[1].is_by(key) or not (chain.key and lines[0].is_by(chain.key)):
        what = "its stored checkpoint needs exactly two signatures: chain and official"
        yield _at(event, "unknown key", what)


_at = Problem.of_event
