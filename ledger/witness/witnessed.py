"""How much of each chain an opponent has witnessed."""

from __future__ import annotations

from ledger.chain.others import parse_others
from ledger.errors import InputError
from ledger.record.kinds import ACTS
from ledger.store.store import Store


def witnessed(store: Store) -> dict[str, int]:
    """By chain, how many of its events a cosignature covers.

    A cosigned checkpoint covers its own chain; the countersignature or act that it was made for
    says how far the other chains had come. Nothing is verified here: that is the audit's part. What
    cannot be true is left to it too.
    """
    lengths = store.lengths()
    covered: dict[str, int] = {}
    for kept in store.checkpoints():
        covered[kept.chain] = max(kept.size, covered.get(kept.chain, 0))
    for stored in store.events(kind=["countersign", *ACTS]):
        data = stored.event.data
        try:
            others = parse_others(data) if data.get("how") == "key" else {}
        except InputError:
            continue
        for chain, state in others.items():
            if state.size <= lengths.get(chain, 0):
                covered[chain] = max(state.size, covered.get(chain, 0))
    return covered
