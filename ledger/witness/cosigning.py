"""Cosigning a chain's head with an official's key: for countersignatures and for signed acts.

The event that is signed is appended first; the checkpoint that includes it is cosigned and kept in
the same transaction, or neither stands.
"""

from __future__ import annotations

from datetime import UTC, datetime

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note
from ledger.chain.merkle import root
from ledger.chain.note import Note, add_signature, format_note, parse_note
from ledger.errors import IntegrityError, RuleError
from ledger.store.chains import sign_head
from ledger.store.store import Store, StoredCheckpoint, Writing
from ledger.store.trees import Trees
from ledger.witness.keys import OfficialKey
from ledger.witness.officials import key_of


def cosign(
    writing: Writing, chain: str, key: OfficialKey, private: bytes, trees: Trees | None = None
) -> Note:
    """Cosign the chain's head, as it stands in this transaction, and keep the checkpoint.

    Raises IntegrityError when the ledger is not the one that this key signed before; with `trees`,
    which are continued, whoever calls has asked `check_continues` before the lock.
    """
    store = writing.store
    if trees is None:
        check_continues(store, chain, key)
    note = sign_head(store, chain, trees)
    time = int(datetime.now(UTC).timestamp())
    note = add_signature(note, cosign_note(note, key.key.name, private, time=time))
    size = parse_checkpoint(note.text).size
    writing.keep_checkpoint(StoredCheckpoint(chain, size, format_note(note).decode()))
    return note


def check_in_force(store: Store, key: OfficialKey, game: str | None = None) -> None:
    """Under the lock, before the event is appended: RuleError unless it is the key that counts.

    `game` is that of the list to sign; an act is of no game.
    """
    now = key_of(store, key.official, game)
    if now is None or now.key != key.key:
        raise RuleError(
            f"this is not the key of {key.official} that is in force here",
            hint="Nothing was signed. It may have just been replaced: try again.",
        )


def check_continues(store: Store, chain: str, key: OfficialKey) -> None:
    """A log's cosigner never signs what does not continue the last checkpoint it signed."""
    hashes: list[bytes] = []
    for kept in reversed(list(store.checkpoints())):
        note = parse_note(kept.note.encode())
        if kept.chain != chain or not check_cosignatures(note, [key.key]):
            continue
        hashes = hashes or store.hashes(chain)
        before = parse_checkpoint(note.text)
        if len(hashes) < before.size or root(hashes[: before.size]) != before.root:
            raise IntegrityError(
                "this ledger is not the one you signed before",
                hint="Nothing was signed. Keep your receipt, and tell the division president.",
                field="root",
                expected=before.root.hex(),
                found=root(hashes[: before.size]).hex(),
            )
        return
