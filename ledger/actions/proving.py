"""Prove single statements to someone who has no ledger."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from ledger.chain.note import Note
from ledger.derive.asked import unknown_game
from ledger.errors import InputError
from ledger.store.store import Store
from ledger.witness.disclosing import choose
from ledger.witness.proof import pack_proof
from ledger.witness.prove import prove_statements


@dataclass(frozen=True)
class Proved:
    """A proof file, with how many entries it proves and how many texts it discloses."""

    data: bytes
    entries: int
    texts: int


def prove(
    store: Store,
    *,
    events: Sequence[str] = (),
    game: str | None = None,
    words: Collection[str] = (),
    receipts: Sequence[Note] = (),
) -> Proved:
    """Prove these events, or all events of a game.

    `words` choose what to disclose (`ledger.witness.disclosing`); `receipts` are checkpoints that
    the reader has. InputError for an unknown event or game, or if neither or both are named.
    """
    if bool(events) == bool(game):
        hint = "For example office:57, or --game acorn-1a."
        raise InputError("name events, or one game", hint=hint)
    asked = list(store.events(game=[game]) if game else store.events_by_id(events))
    if game and not asked:
        raise unknown_game(store, game)
    choice = choose(store, (stored.event for stored in asked), words)
    proof = prove_statements(store, choice.ids, choice.disclose, receipts)
    count = sum(len(part.events) for part in proof.chains)
    return Proved(pack_proof(proof), count, len(proof.disclosures))
