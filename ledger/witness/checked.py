"""The verdict on a proof: what it proves, who signed it, what it discloses."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.chain.checkpoint import Checkpoint
from ledger.chain.cosignature import Cosignature
from ledger.chain.event import Event
from ledger.chain.note import VerifierKey
from ledger.errors import LedgerError


@dataclass(frozen=True)
class StatedKey:
    """A key event; `owner` is an official, or the origin of a chain."""

    event: Event
    owner: str
    key: VerifierKey


@dataclass(frozen=True)
class SignedState:
    """A checkpoint signed by its chain's key, and its genuine cosignatures."""

    checkpoint: Checkpoint
    cosignatures: tuple[Cosignature, ...]


@dataclass(frozen=True)
class CheckedChain:
    """The proved events of a chain; `state` is None if its checkpoint is not genuine."""

    chain: str
    state: SignedState | None
    earlier: tuple[SignedState, ...]
    events: tuple[Event, ...]


@dataclass(frozen=True)
class CheckedText:
    """Personal text that belongs to an event."""

    event: Event
    field: str
    value: str


@dataclass(frozen=True)
class SignedList:
    """A signature to a list.

    `not_here` are ids that it names and the proof leaves out; `after` are events of the proof that
    it does not cover. `is_cosigned`: the proof has the checkpoint that was cosigned with it.
    `phone`: the key that signed the list on a phone, if the proof has it.
    """

    event: Event
    not_here: tuple[str, ...]
    after: tuple[Event, ...]
    is_cosigned: bool
    phone: VerifierKey | None = None


@dataclass(frozen=True)
class CheckedProof:
    """The verdict. If it is not `ok`, see `differences`; nothing else counts then."""

    chains: tuple[CheckedChain, ...]
    keys: tuple[StatedKey, ...]
    texts: tuple[CheckedText, ...]
    differences: tuple[str, ...]
    lists: tuple[SignedList, ...] = ()

    @property
    def ok(self) -> bool:
        return not self.differences

    @property
    def events(self) -> tuple[Event, ...]:
        return tuple(event for chain in self.chains for event in chain.events)


class Differences(list[str]):
    """The differences found so far, in words."""

    @contextmanager
    def noting(self, where: str) -> Iterator[None]:
        """Note a LedgerError of the block as a difference, and go on after the block."""
        try:
            yield
        except LedgerError as error:
            self.append(f"{where}: {error.message}")
