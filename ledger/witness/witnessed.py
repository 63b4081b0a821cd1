"""How much of each chain a cosignature covers."""

from __future__ import annotations

from ledger.chain.others import parse_others
from ledger.errors import InputError
from ledger.record.kinds import ACTS, SETUP
from ledger.store.store import Store


def witnessed(store: Store) -> dict[str, int]:
    """Return, by chain, how many of its events a cosignature covers.

    A cosigned checkpoint covers its own chain; the countersignature or act in it names the length
    of the others. Nothing is verified here; the audit does that.
    """
    lengths = store.lengths()
    covered: dict[str, int] = {}
    for kept in store.checkpoints():
        covered[kept.chain] = max(kept.size, covered.get(kept.chain, 0))
    for stored in store.events(kind=["countersign", *ACTS, *SETUP]):
        data = stored.event.data
        try:
            others = parse_others(data) if data.get("how") == "key" else {}
        except InputError:
            continue
        for chain, state in others.items():
            if state.size <= lengths.get(chain, 0):
                covered[chain] = max(state.size, covered.get(chain, 0))
    return covered
