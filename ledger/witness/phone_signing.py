"""Lists signed on an official's own phone: the phone signs first, then the ledger appends.

The phone signs game, team, official, the list's number and the heads that it saw
(`ledger.chain.phone`). The event keeps that signature. Once it is appended, the phone checks that
the ledger continues what it saw, and cosigns the checkpoint that includes the event. That comes
later, when other events and checkpoints may have come in; until then the list is signed and not
yet witnessed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.event import HELD, Event
from ledger.chain.keys import check_signature
from ledger.chain.merkle import prove_consistency, prove_inclusions, root
from ledger.chain.note import Note, add_signature, format_note, parse_base64, parse_note
from ledger.chain.others import State, format_others, parse_others
from ledger.chain.phone import signature_text
from ledger.errors import InputError, IntegrityError, RuleError, StoreError
from ledger.store.chains import origin_in
from ledger.store.store import Store, StoredCheckpoint, Writing
from ledger.store.trees import Trees
from ledger.witness.cosigning import check_in_force
from ledger.witness.countersign import ListShown, append_signature, open_codes, under_the_lock
from ledger.witness.keys import OfficialKey
from ledger.witness.vouching import is_key_signature, vouched


class NotSignedError(InputError):
    """The key on the phone did not sign this."""


@dataclass(frozen=True)
class Proved:
    """A chain's length and root, and the proof that joins it to the length that somebody knew.

    The proof leads from the smaller of the two lengths to the larger; empty for none.
    """

    state: State
    proof: tuple[bytes, ...]


@dataclass(frozen=True)
class SignedEvent:
    """A countersignature as a phone checks it: its bytes, its place in the tree, the note of it.

    `key` is the verifier key line of the chain.
    """

    event: Event
    body: bytes
    note: Note
    key: str
    inclusion: tuple[bytes, ...]
    heads: Mapping[str, Proved]


def find_signed(store: Store, game: str, team: str, signature: str) -> str | None:
    """Return the id of the event that keeps this signature of a phone, if there is one."""
    found = store.events(kind=["countersign"], game=[game], team=[team])
    return next((s.id for s in found if s.event.data.get("signature") == signature), None)


def countersign_by_phone(
    store: Store,
    shown: ListShown,
    key: OfficialKey,
    signature: str,
    seen: Mapping[str, State],
    *,
    despite: Sequence[str] = (),
) -> str:
    """Append the list's signature (base64) that a phone made, and return the event id.

    Raises ChangedError if the list is not the one shown, InputError if the signature is not good
    for it, IntegrityError if this is not the ledger that the phone saw.
    """
    _check_seen(store, shown.chain, seen)
    origin = origin_in(store, shown.chain)
    text = signature_text(origin, shown.game, shown.team, shown.official, shown.number, seen)
    try:
        check_signature(key.key.public, text, parse_base64(signature))
    except IntegrityError as error:
        hint = "Nothing was signed. Look at the list again, then sign."
        raise NotSignedError(
            "the phone signed something other than this list", hint=hint
        ) from error
    said = {"how": HELD, "signature": signature, "seen": format_others(seen)}

    def sign(writing: Writing, now: str, trees: Trees) -> str:
        if (before := find_signed(store, shown.game, shown.team, signature)) is not None:
            return before  # sent twice at once
        check_in_force(store, key, shown.game)
        return append_signature(writing, shown, now, said | open_codes(despite), trees)

    return under_the_lock(store, shown, sign)


def prove_heads(
    store: Store, states: Mapping[str, int], since: Mapping[str, int]
) -> dict[str, Proved]:
    """Return each chain at its length in `states`, joined to its length in `since`, if it has one.

    A length that the chain never had is joined to nothing: then it is another ledger.
    """
    found = {}
    for chain, size in states.items():
        hashes = store.hashes(chain)
        small, large = sorted((size, since.get(chain, size)))
        is_joined = 0 < small < large <= len(hashes)
        proof = prove_consistency(hashes, small, large) if is_joined else ()
        found[chain] = Proved(State(size, root(hashes[:size])), proof)
    return found


def signed_by_phone(store: Store, event_id: str) -> Event:
    """Return the countersignature with this id; InputError if no phone made it."""
    event = store.event(event_id)
    if event.kind != "countersign" or event.data.get("how") != HELD:
        raise InputError(f"no phone signed {event_id}")
    return event


def show_signed(store: Store, event_id: str, since: Mapping[str, int]) -> SignedEvent:
    """Return what a phone checks before it cosigns; InputError if no phone signed this."""
    event = signed_by_phone(store, event_id)
    stored, first = store.events_by_id([event_id, f"{event.chain}:1"])
    sizes = {chain: state.size for chain, state in parse_others(event.data).items()}
    heads = prove_heads(store, sizes | {event.chain: event.seq}, since)
    hashes = store.hashes(event.chain)[: event.seq]
    inclusion = prove_inclusions(hashes, [event.seq - 1])[event.seq - 1]
    note, key = _note_of(store, event), str(first.event.data["key"])
    return SignedEvent(event, stored.body.encode(), note, key, inclusion, heads)


def witness_signed(store: Store, event_id: str, line: str) -> tuple[Note, bool]:
    """Keep the checkpoint that includes the event, with this cosignature line of the phone's key.

    Returns the note, and whether it is new: an event has one. InputError for a line that is not
    the cosignature of the key behind the signature.
    """
    with store.writing() as writing:
        event = signed_by_phone(store, event_id)
        for kept in store.checkpoints():
            if (kept.chain, kept.size) == (event.chain, event.seq):
                return parse_note(kept.note.encode()), False
        note = _cosigned(store, event, _note_of(store, event), line)
        text = format_note(note).decode()
        writing.keep_checkpoint(StoredCheckpoint(event.chain, event.seq, text))
    return note, True


def _cosigned(store: Store, event: Event, note: Note, line: str) -> Note:
    known = vouched(store, event)
    if known is None or not is_key_signature(store, event.id):
        raise RuleError(f"no key signed {event.id}", hint="Run weighbook audit.")
    if "\n" in line:
        raise InputError("a cosignature is one line")
    (added,) = parse_note(f"{note.text}\n{line}\n".encode()).signatures
    found = add_signature(note, added)
    try:
        is_theirs = bool(check_cosignatures(found, [known.key.key]))
    except IntegrityError:
        is_theirs = False
    if not is_theirs:
        raise NotSignedError(f"this is not the cosignature of {event.by} for {event.id}")
    return found


def _note_of(store: Store, event: Event) -> Note:
    """The checkpoint of the chain that ends with this event, signed by the chain's key."""
    origin = origin_in(store, event.chain)
    private = store.key(origin)
    if private is None:
        hint = "Only the device that wrote it can sign."
        raise StoreError(f"the key of the chain {event.chain} is not in this ledger", hint=hint)
    tree = root(store.hashes(event.chain)[: event.seq])
    return sign_checkpoint(Checkpoint(origin, event.seq, tree), private)


def _check_seen(store: Store, own: str, seen: Mapping[str, State]) -> None:
    if own not in seen:
        hint = "Look at the list again, then sign."
        raise NotSignedError(f"the phone has not seen the chain {own}", hint=hint)
    for chain, state in seen.items():
        hashes = store.hashes(chain)
        if len(hashes) < state.size or root(hashes[: state.size]) != state.root:
            raise IntegrityError(
                "this is not the ledger that the phone saw",
                hint="Nothing was signed. Keep what the phone has, and call the division "
                "president.",
                field="root",
                expected=state.root.hex(),
                found=root(hashes[: state.size]).hex(),
            )
