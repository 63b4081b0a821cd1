"""How much of each chain a cosignature covers."""

from __future__ import annotations

from ledger.chain.event import HELD
from ledger.chain.others import parse_others
from ledger.errors import InputError
from ledger.record.kinds import ACTS, SETUP
from ledger.store.store import Store

_BY_KEY = ("key", HELD)


def witnessed(store: Store) -> dict[str, int]:
    """Return, by chain, how many of its events a cosignature covers.

    A cosigned checkpoint covers its own chain; the countersignature or act in it names the length
    of the others. What a phone signed counts once it is witnessed. Nothing is verified here; the
    audit does that.
    """
    lengths = store.lengths()
    covered: dict[str, int] = {}
    kept_of = {(kept.chain, kept.size) for kept in store.checkpoints()}
    for chain, size in kept_of:
        covered[chain] = max(size, covered.get(chain, 0))
    for stored in store.events(kind=["countersign", *ACTS, *SETUP]):
        data, is_kept = stored.event.data, (stored.chain, stored.seq) in kept_of
        try:
            others = parse_others(data) if data.get("how") in _BY_KEY and is_kept else {}
        except InputError:
            continue
        for chain, state in others.items():
            if state.size <= lengths.get(chain, 0):
                covered[chain] = max(state.size, covered.get(chain, 0))
    return covered
