"""Cosign a chain's head with an official's key: for countersignatures and for signed acts.

One transaction appends the signed event, then cosigns and keeps the checkpoint that includes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note
from ledger.chain.merkle import root
from ledger.chain.note import Note, add_signature, format_note, parse_note
from ledger.chain.others import format_others
from ledger.errors import IntegrityError, RuleError
from ledger.store.chains import heads, sign_head
from ledger.store.store import Store, StoredCheckpoint, Writing
from ledger.store.trees import Trees
from ledger.witness.keys import OfficialKey
from ledger.witness.officials import key_of


@dataclass(frozen=True)
class KeySigner:
    """An official's unlocked key; see `ledger.store.acts.Signer`.

    The event names every other chain, as a countersignature does: that fixes what the signature
    covers, and so which key was in force.
    """

    key: OfficialKey
    private: bytes

    def said(self, store: Store, chain: str) -> dict[str, Any]:
        check_in_force(store, self.key)
        return {"how": "key", "others": format_others(heads(store, besides=chain))}

    def sign(self, writing: Writing, chain: str) -> Note:
        return cosign(writing, chain, self.key, self.private)


def cosign(
    writing: Writing, chain: str, key: OfficialKey, private: bytes, trees: Trees | None = None
) -> Note:
    """Cosign the chain's head in this transaction, and keep the checkpoint.

    Raises IntegrityError if this is not the ledger that the key signed before. With `trees`, the
    caller has asked `check_continues` before the lock.
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
    """Raise RuleError unless the key is in force; ask under the lock, before the event is appended.

    `game` is the game of the list to sign, None for an act.
    """
    now = key_of(store, key.official, game)
    if now is None or now.key != key.key:
        raise RuleError(
            f"this key of {key.official} is no longer in force here",
            hint="Nothing was signed. It may have just been replaced. Try again.",
        )


def check_continues(store: Store, chain: str, key: OfficialKey) -> None:
    """Raise IntegrityError unless the chain continues the last checkpoint that this key signed."""
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
                hint="Nothing was signed. Keep your receipt, and call the division president.",
                field="root",
                expected=before.root.hex(),
                found=root(hashes[: before.size]).hex(),
            )
        return
