"""The ledger's other chains as an event names them: length and root of each.

A cosigned checkpoint is of one chain. The countersignature in it fixes the others, and a chain's
first event names those that existed when it began:

    "others":{"tablet":{"root":"<64 hex>","size":57}}

A countersignature covers the events before it in its own chain and, in every chain that it names,
those up to the length named. All else comes after it, whatever the clocks say.

A phone that signs names the chains as it saw them before, its own included (`seen`, the same form).
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
    """The events that a signature covers; `seq` is its own number in `chain`."""

    chain: str
    seq: int
    sizes: Mapping[str, int]

    def covers(self, chain: str, seq: int) -> bool:
        """Return whether this event is covered; the signature itself is not."""
        return seq < self.seq if chain == self.chain else seq <= self.sizes.get(chain, 0)


def format_others(others: Mapping[str, State]) -> dict[str, dict[str, Any]]:
    """Return the states in the form of an event's data."""
    return {
        chain: {"size": state.size, "root": state.root.hex()} for chain, state in others.items()
    }


def parse_others(data: Mapping[str, Any]) -> dict[str, State]:
    """Return the states in an event's data by chain, if any; InputError for another form."""
    return _states(data.get("others", {}), "its entry about other chains cannot be read")


def parse_seen(data: Mapping[str, Any]) -> dict[str, State]:
    """Return the states that a phone saw before it signed, by chain; InputError as above."""
    return _states(data.get("seen", {}), "its entry about what the phone saw cannot be read")


def states_of(said: Any) -> dict[str, State]:
    """Return the states that somebody sent in the form of an event's; InputError as above."""
    return _states(said, "these are no lengths and roots of chains")


def covered_by(signature: Event) -> Covered:
    """Return what the countersignature covers; InputError if it cannot be read."""
    sizes = {chain: state.size for chain, state in parse_others(signature.data).items()}
    return Covered(signature.chain, signature.seq, sizes)


def _states(said: Any, otherwise: str) -> dict[str, State]:
    is_form = isinstance(said, dict) and all(map(_CHAIN.fullmatch, said))
    if not is_form or not all(map(_is_state, said.values())):
        raise InputError(otherwise)
    return {
        chain: State(state["size"], bytes.fromhex(state["root"])) for chain, state in said.items()
    }


def _is_state(value: Any) -> bool:
    return (
        isinstance(value, dict)
        and value.keys() == {"size", "root"}
        and type(value["size"]) is int
        and value["size"] > 0
        and isinstance(value["root"], str)
        and _ROOT.fullmatch(value["root"]) is not None
    )
