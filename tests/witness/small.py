"""A small proof, to damage in every way."""

from __future__ import annotations

from ledger.store.sqlite.store import SqliteStore
from ledger.witness.disclosing import choose
from ledger.witness.proof import Proof
from ledger.witness.prove import prove_statements
from tests.signed_season import GAME


def small_proof(store: SqliteStore) -> Proof:
    """Two weighs and two countersignatures of the game, with the names of the two children."""
    of_game = [stored.event for stored in store.events(game=[GAME])]
    weighs = [event for event in of_game if event.kind == "weigh"][:2]
    signs = [event for event in of_game if event.kind == "countersign"][-2:]
    choice = choose(store, [*weighs, *signs], {"name"})
    return prove_statements(store, choice.ids, choice.disclose)
