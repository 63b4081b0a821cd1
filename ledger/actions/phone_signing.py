"""Sign a list on the official's own phone, and witness it: what the page asks and hands over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ledger.actions.asking import ACTING, Acting, ask_despite
from ledger.chain.note import format_note
from ledger.chain.others import State
from ledger.errors import RuleError
from ledger.store.chains import begin_chain, sign_head
from ledger.store.league import first_league
from ledger.store.store import Store
from ledger.witness.countersign import ListShown
from ledger.witness.officials import key_of, no_key_hint
from ledger.witness.phone_signing import (
    NotSignedError,
    Proved,
    countersign_by_phone,
    find_signed,
    prove_heads,
    show_signed,
    signed_by_phone,
    witness_signed,
)

__all__ = [
    "NotSignedError",
    "Proved",
    "find_signed",
    "show_signed",
    "signed_by_phone",
]


@dataclass(frozen=True)
class Heads:
    """The ledger as a phone sees it: its chain's signed note, that chain's key, every head."""

    note: str
    key: str
    heads: Mapping[str, Proved]


def has_begun(store: Store, chain: str) -> bool:
    """Whether the chain has its first event, which names its key."""
    return bool(store.head(chain).seq)


def begin(store: Store, chain: str) -> None:
    """Begin the chain, unless it has begun: a phone signs no list of a chain without a key."""
    with store.writing() as writing:
        begin_chain(writing, chain, first_league(store))


def heads_of(store: Store, chain: str, since: Mapping[str, int]) -> Heads:
    """Return every chain's head, joined to what a phone knows (`since`), and the chain's note."""
    note = sign_head(store, chain)
    lengths = dict(store.lengths()) | {chain: _size(note.text)}
    (first,) = store.events_by_id([f"{chain}:1"])
    key = str(first.event.data["key"])
    return Heads(format_note(note).decode(), key, prove_heads(store, lengths, since))


def sign_with_phone(
    store: Store,
    shown: ListShown,
    signature: str,
    seen: Mapping[str, State],
    acting: Acting = ACTING,
) -> str:
    """Sign the list with what the phone signed (base64); return the event id.

    Asks about what is open. RuleError if no phone has the official's key; otherwise as
    `ledger.witness.phone_signing.countersign_by_phone`.
    """
    official, game = shown.official, shown.game
    key = key_of(store, official, game)
    if key is None or not key.is_on_phone:
        what = "has no key on a phone" if key else "has no key in force"
        raise RuleError(f"{official} {what}", hint=no_key_hint(official, game))
    ask_despite(shown.settling, store, acting)
    despite = shown.settling.codes
    return countersign_by_phone(store, shown, key, signature, seen, despite=despite)


def witness(store: Store, event_id: str, line: str) -> tuple[bytes, bool]:
    """Keep the phone's cosignature of the checkpoint that includes the event: the receipt.

    Returns it, and whether it is new. InputError unless the line is the cosignature of that key.
    """
    note, is_new = witness_signed(store, event_id, line)
    return format_note(note), is_new


def _size(text: str) -> int:
    return int(text.split("\n")[1])
