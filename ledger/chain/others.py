"""What an event says of the ledger's other chains: how long each was, and its root.

A cosigned checkpoint is of one chain. The countersignature that it includes fixes the others, and
a chain's first event names those that were there when it began:

    "others":{"tablet":{"root":"<64 hex>","size":57}}

A countersignature covers the events before it in its own chain and, of every chain that it names,
those up to the length named. No clock enters into this; everything else comes after it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from ledger.chain.event import Event
from ledger.errors import InputError

_CHAIN = re.compile("[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_ROOT = re.compile("[0-9a-f]{64}")


class State(NamedTuple):
    """A chain at some moment: the number of its events and their Merkle root (32 bytes)."""

    size: int
    root: bytes


@dataclass(frozen=True, slots=True)
class Covered:
    """The events that a signature covers; `seq` is its own place in `chain`."""

    chain: str
    seq: int
    sizes: Mapping[str, int]

    def covers(self, chain: str, seq: int) -> bool:
        """Whether the event of this place is covered; the signature itself is not."""
        return seq < self.seq if chain == self.chain else seq <= self.sizes.get(chain, 0)


def format_others(others: Mapping[str, State]) -> dict[str, dict[str, Any]]:
    """The states as they stand in an event's data."""
    return {
        chain: {"size": state.size, "root": state.root.hex()} for chain, state in others.items()
    }


def parse_others(data: Mapping[str, Any]) -> dict[str, State]:
    """The states in an event's data, by chain; none where it names none.

    Raises InputError for another form.
    """
    others = data.get("others", {})
    is_form = isinstance(others, dict) and all(map(_CHAIN.fullmatch, others))
    if not is_form or not all(map(_is_state, others.values())):
        raise InputError("what it says of the other chains cannot be read")
    return {
        chain: State(state["size"], bytes.fromhex(state["root"])) for chain, state in others.items()
    }


def covered_by(signature: Event) -> Covered:
    """What the countersignature covers; InputError where it names other chains in another form."""
    sizes = {chain: state.size for chain, state in parse_others(signature.data).items()}
    return Covered(signature.chain, signature.seq, sizes)


def _is_state(value: Any) -> bool:
    return (
        isinstance(value, dict)
        and value.keys() == {"size", "root"}
        and type(value["size"]) is int
        and value["size"] > 0
        and isinstance(value["root"], str)
        and _ROOT.fullmatch(value["root"]) is not None
    )
