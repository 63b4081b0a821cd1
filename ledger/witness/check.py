"""Check a proof without any ledger, and list every difference.

1. A proved event has each key: a chain's first event, or an official's key event.
2. Each event is in its checkpoint's tree at the place of its number, and links to the event before
   it if the proof has that one too.
3. The chain's own key signed each of its checkpoints.
4. Each cosignature is genuine, by a key in force at that size; every key signed something.
5. The chain's last checkpoint continues each earlier one.
6. Each disclosure has the digest in its event.
7. Each signed list matches its events (`ledger.witness.check_lists`).

`ledger.say.proofs` says what these steps cannot show.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ledger.chain.checkpoint import check_checkpoint, parse_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.disclosure import digest_of, open_disclosure
from ledger.chain.event import Event, parse_event
from ledger.chain.hashing import BEGINNING, leaf_hash
from ledger.chain.merkle import check_consistency, check_inclusion
from ledger.chain.note import (
    COSIGNATURE,
    ED25519,
    Note,
    VerifierKey,
    parse_note,
    parse_verifier_key,
)
from ledger.chain.others import parse_others
from ledger.errors import InputError, IntegrityError
from ledger.witness.check_lists import check_lists
from ledger.witness.checked import (
    CheckedChain,
    CheckedProof,
    CheckedText,
    Differences,
    SignedState,
    StatedKey,
)
from ledger.witness.keys import in_ledger_order, keys_in_force
from ledger.witness.proof import ChainProof, Proof, ProvedEvent, ShownText

_OWNER = {"chain_key": "origin", "official_key": "official", "key_revoked": "official"}


def check_proof(proof: Proof) -> CheckedProof:
    """Return the verdict on a proof. Never raises."""
    found = Differences()
    read = {part.chain: _read_events(part, found) for part in proof.chains}
    events = {event.id: event for pairs in read.values() for event, _ in pairs}
    stated = _stated_keys(events.values(), found)
    keys = _keys(proof.keys, stated, found)
    signed: set[VerifierKey] = set()
    chains = tuple(
        _check_chain(part, read[part.chain], keys, stated, signed, found) for part in proof.chains
    )
    lists = check_lists(chains, stated, found)
    signed |= {one.phone for one in lists if one.phone}
    for key in keys:
        if key not in signed:
            found.append(f"the key of {key.name} is here but signed nothing")
    texts = _texts(proof.disclosures, events, found)
    return CheckedProof(chains, stated, texts, tuple(found), lists)


def check_receipt(checked: CheckedProof, receipt: Note) -> SignedState:
    """Return the receipt's state in the proof: a chain's checkpoint or an earlier one.

    A proof brings its own keys, so all of it could be made up. A receipt that someone took home
    shows which ledger was signed that day. Raises IntegrityError if the proof is from another
    ledger or history, InputError if the proof cannot tell, or this is not a receipt.
    """
    held = parse_checkpoint(receipt.text)
    for chain in checked.chains:
        states = [state for state in (chain.state, *chain.earlier) if state]
        if not states or states[0].checkpoint.origin != held.origin:
            continue
        for one in checked.keys:
            if one.event.kind == "chain_key" and one.event.chain == chain.chain:
                check_checkpoint(receipt, one.key)
        for state in states:
            if state.checkpoint.size == held.size:
                if state.checkpoint.root == held.root:
                    return state
                raise IntegrityError(
                    "this proof is from another history than your receipt",
                    hint="Keep the receipt, and call the division president.",
                    field="root",
                    expected=held.root.hex(),
                    found=state.checkpoint.root.hex(),
                )
        raise InputError(
            f"this proof does not show the moment of your receipt ({held.size:,} entries)",
            hint="Ask for one that does: weighbook prove … --receipt YOUR-RECEIPT.",
        )
    raise IntegrityError(
        "this proof is from another ledger than your receipt",
        hint="Compare league, season and chain in the receipt's first line.",
        field="origin",
        expected=held.origin,
    )


def _read_events(part: ChainProof, found: Differences) -> list[tuple[Event, ProvedEvent]]:
    pairs: list[tuple[Event, ProvedEvent]] = []
    for number, proved in enumerate(part.events, 1):
        with found.noting(f"event {number} of chain {part.chain}"):
            event = parse_event(_bytes(proved.text))
            if event.chain != part.chain:
                raise InputError(f"it is {event.id}, from another chain")
            if pairs and event.seq <= pairs[-1][0].seq:
                raise InputError(f"it is {event.id}, in the wrong place")
            pairs.append((event, proved))
    return pairs


def _stated_keys(events: Iterable[Event], found: Differences) -> tuple[StatedKey, ...]:
    stated = []
    for event in events:
        if event.kind in _OWNER:
            with found.noting(f"the key in {event.id}"):
                stated.append(_stated_key(event))
    return tuple(stated)


def _stated_key(event: Event) -> StatedKey:
    owner, line = event.data.get(_OWNER[event.kind]), event.data.get("key")
    if not (isinstance(owner, str) and isinstance(line, str)):
        raise InputError("it has no key with an owner")
    key = parse_verifier_key(line)
    is_chain = event.kind == "chain_key"
    if key.kind != (ED25519 if is_chain else COSIGNATURE):
        raise InputError("it is of the wrong signature type")
    if is_chain and (event.seq != 1 or key.name != owner):
        raise InputError("it is not in the chain's first event, or not named as its origin")
    if not is_chain and key.name.partition("@")[0] != owner:
        raise InputError(f"its name is not that of {owner}")
    return StatedKey(event, owner, key)


def _keys(
    lines: Sequence[str], stated: Sequence[StatedKey], found: Differences
) -> list[VerifierKey]:
    keys = []
    for line in lines:
        with found.noting(f"the key {line[:60]}"):
            keys.append(parse_verifier_key(line))
            if not any(one.key == keys[-1] for one in stated):
                raise InputError("no event here has it")
    return keys


def _check_chain(
    part: ChainProof,
    read: Sequence[tuple[Event, ProvedEvent]],
    keys: Sequence[VerifierKey],
    stated: Sequence[StatedKey],
    signed: set[VerifierKey],
    found: Differences,
) -> CheckedChain:
    here = [one for one in stated if one.event.chain == part.chain]
    own = [one.key for one in here if one.event.kind == "chain_key" and one.key in keys]
    if not own:
        found.append(f"chain {part.chain}: the event with its own key is missing")

    def state_of(note: str, which: str) -> SignedState | None:
        for key in own:
            with found.noting(f"{which} of chain {part.chain}"):
                state = _check_note(note, key, keys)
                signed.update({key, *(one.key for one in state.cosignatures)})
                _refuse_out_of_force(state, stated, part.chain, [event for event, _ in read])
                return state
        return None

    state = state_of(part.note, "the checkpoint")
    earlier = []
    for number, one in enumerate(part.earlier, 1):
        before = state_of(one.note, f"earlier checkpoint {number}")
        if before and state:
            earlier.append(before)
            with found.noting(f"earlier checkpoint {number} of chain {part.chain}"):
                _check_continued(before, state, one.path, earlier[-2:-1])
    if state:
        _check_places(read, state, found)
    return CheckedChain(part.chain, state, tuple(earlier), tuple(event for event, _ in read))


def _check_note(text: str, own: VerifierKey, keys: Sequence[VerifierKey]) -> SignedState:
    note = parse_note(_bytes(text))
    checkpoint = check_checkpoint(note, own)
    cosigners = [key for key in keys if key.kind == COSIGNATURE]
    for line in note.signatures:
        # Notes may have signatures by strangers; in a proof they would look like more witnesses.
        if not any(map(line.is_by, (own, *cosigners))):
            raise InputError(f"a signature by {line.name}, whose key is missing")
    return SignedState(checkpoint, check_cosignatures(note, cosigners))


def _refuse_out_of_force(
    state: SignedState, stated: Sequence[StatedKey], chain: str, events: Iterable[Event]
) -> None:
    """Raise InputError for a cosignature by a key that was not in force.

    The signature covers the events before it, and those of other chains that it names; they decide.
    If the signed event is missing, keys of other chains have no order here and count as in force.
    """
    size = state.checkpoint.size
    signed = next((event for event in events if event.seq == size and "how" in event.data), None)
    others = parse_others(signed.data) if signed else {}
    made = [one.event for one in stated if one.event.kind != "chain_key"]
    covered = [
        event
        for event in made
        if (event.chain == chain and event.seq < size)
        or (event.chain in others and event.seq <= others[event.chain].size)
    ]
    in_force = keys_in_force(in_ledger_order(covered)).values()
    keys = {one.key for one in in_force if not signed or one.game in (None, signed.game)}
    if signed is None:
        keys |= {one.key for one in stated if one.event.chain != chain}
    for cosignature in state.cosignatures:
        if cosignature.key not in keys:
            raise InputError(f"the key of {cosignature.key.name} was not in force when it signed")


def _check_continued(
    before: SignedState, after: SignedState, path: Sequence[bytes], last: Sequence[SignedState]
) -> None:
    old, new = before.checkpoint, after.checkpoint
    if old.size >= new.size or any(one.checkpoint.size >= old.size for one in last):
        raise InputError("it is in the wrong place")
    check_consistency(old.size, new.size, old.root, new.root, path)


def _check_places(
    read: Sequence[tuple[Event, ProvedEvent]], state: SignedState, found: Differences
) -> None:
    tree = state.checkpoint
    seq, hashed = 0, BEGINNING
    for event, proved in read:
        leaf = leaf_hash(_bytes(proved.text))
        with found.noting(event.id):
            check_inclusion(leaf, event.seq - 1, tree.size, proved.path, tree.root)
            if event.seq == seq + 1 and event.prev != hashed:
                raise IntegrityError("it does not link to the event before it")
        seq, hashed = event.seq, leaf


def _texts(
    shown: Sequence[ShownText], events: Mapping[str, Event], found: Differences
) -> tuple[CheckedText, ...]:
    texts: list[CheckedText] = []
    for one in shown:
        with found.noting(f"the text of {one.event_id[:80]}"):
            disclosed = open_disclosure(one.disclosure)
            event = events.get(one.event_id)
            digests = event.data.get("digests") if event else None
            if not event or not isinstance(digests, dict):
                raise InputError("no event here has its digest")
            if digests.get(disclosed.field) != digest_of(one.disclosure):
                raise IntegrityError("this is not the text that was recorded")
            if any((t.event, t.field) == (event, disclosed.field) for t in texts):
                raise InputError("it is here twice")
            texts.append(CheckedText(event, disclosed.field, disclosed.value))
    return tuple(texts)


def _bytes(text: str) -> bytes:
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        raise InputError("the text is not Unicode") from error
