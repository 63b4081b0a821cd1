"""Acts signed with a key: the act's event says so, and its checkpoint is cosigned with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ledger.chain.note import Note
from ledger.chain.others import format_others
from ledger.store.chains import heads
from ledger.store.store import Store, Writing
from ledger.witness.cosigning import check_in_force, cosign
from ledger.witness.keys import OfficialKey


@dataclass(frozen=True)
class KeySigner:
    """An official's key, unlocked; see `ledger.store.acts.Signer`.

    The event names every other chain, as a countersignature does: what the signature covers, and
    so which key was in force, is told by that.
    """

    key: OfficialKey
    private: bytes

    def said(self, store: Store, chain: str) -> dict[str, Any]:
        check_in_force(store, self.key)
        return {"how": "key", "others": format_others(heads(store, besides=chain))}

    def sign(self, writing: Writing, chain: str) -> Note:
        return cosign(writing, chain, self.key, self.private)
