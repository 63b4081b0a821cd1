"""One moment of a ledger for its papers: lengths, roots and ends of the chains, and their notes.

All papers of one run share a `Heads`, so they show the same moment: they are made from `store`,
the ledger up to these lengths. `check_still` fails if the ledger changed in between.
Each paper gets its own checkpoint, signed by the chain's key alone, which names the paper
(`ledger.papers.press.paper_file`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
from ledger.chain.merkle import root
from ledger.chain.note import format_note
from ledger.errors import RuleError
from ledger.papers.press.attachment import Attachment
from ledger.record.times import now_utc
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.store.within import Within

CHECKPOINT = "checkpoint.txt"
"""The audit looks for this name in a paper."""
PAPER_CHECKPOINT = "paper-checkpoint.txt"
"""The paper's own checkpoint, if checkpoint.txt is one that an official cosigned."""


@dataclass(frozen=True, slots=True)
class ChainHead:
    """The last event of a chain: its id (`office:57`) and its hash (64 hex digits)."""

    id: str
    hash: str


class Heads:
    """The moment of a ledger that papers show.

    To make a paper again, pass what it was made with: `lengths` by chain (default: the present
    ones), `printed_at` (UTC text; default: now), the chains whose `keys` were at hand, its `note`
    ("" for none), and the `hashes` to check the ledger against.
    """

    def __init__(
        self,
        store: Store,
        *,
        lengths: Mapping[str, int] | None = None,
        printed_at: str | None = None,
        keys: Collection[str] | None = None,
        note: str | None = None,
        hashes: Mapping[str, Sequence[bytes]] | None = None,
    ) -> None:
        self._whole, self._last = store, store.last()
        self.lengths = dict(store.lengths() if lengths is None else lengths)
        self.store = Within(store, self.lengths, keys=keys, hashes=hashes)
        self.stamp = self.store.last().recorded
        """When the last event was recorded: the date of the papers."""
        self.printed_at = printed_at or now_utc()
        self._note, self._keys, self._hashes = note, keys, hashes or {}
        self._origins = {chain: origin_in(self.store, chain) for chain in self.lengths}
        self._roots: dict[str, bytes] = {}

    def of(self, chain: str) -> ChainHead:
        """The last event of the chain."""
        head = self.store.head(chain)
        return ChainHead(f"{chain}:{head.seq}", head.hash.hex())

    def root_of(self, chain: str) -> bytes:
        """The Merkle root over the chain's events (32 bytes)."""
        if chain not in self._roots:
            self._roots[chain] = root(self._hashes.get(chain) or self.store.hashes(chain))
        return self._roots[chain]

    def states(self) -> dict[str, dict[str, int | str]]:
        """Length and root (hex) of every chain, by name."""
        return {
            chain: {"root": self.root_of(chain).hex(), "size": size}
            for chain, size in sorted(self.lengths.items())
        }

    def keys(self) -> list[str]:
        """The chains whose private keys are at hand, or were when the paper was made."""
        return sorted(self._at_hand() if self._keys is None else self._keys)

    def missing_keys(self) -> list[str]:
        """The chains whose private keys were at hand then, but are not in this ledger."""
        return sorted(set(self.keys()) - self._at_hand())

    def _at_hand(self) -> set[str]:
        origins = self._origins.items()
        return {chain for chain, origin in origins if self.store.key(origin) is not None}

    def sign(self, chain: str, extensions: tuple[str, ...]) -> str:
        """The signed checkpoint of the chain with these lines; "" without the chain's key."""
        if self._note is not None:
            return self._note
        origin = self._origins[chain]
        private = self.store.key(origin)
        if private is None:
            return ""
        checkpoint = Checkpoint(origin, self.lengths[chain], self.root_of(chain), extensions)
        return format_note(sign_checkpoint(checkpoint, private)).decode()

    def check_still(self) -> None:
        """RuleError if anything was written to the ledger since the heads were read."""
        if self._whole.last() != self._last:
            raise RuleError(
                "the ledger was written to while its papers were being made",
                hint="Print them again while nobody is writing to it.",
            )


def attached(note: str, event_id: str) -> tuple[Attachment, ...]:
    """The checkpoint after that event as a file; nothing without a note."""
    said = f"The checkpoint of the ledger after event {event_id}, for weighbook audit --since"
    return _as_file(CHECKPOINT, note, said)


def attached_beside(note: str) -> tuple[Attachment, ...]:
    """The paper's own checkpoint, beside the one that an official cosigned."""
    said = "The checkpoint of the ledger when this paper was printed, for weighbook check"
    return _as_file(PAPER_CHECKPOINT, note, said)


def _as_file(name: str, note: str, said: str) -> tuple[Attachment, ...]:
    file = Attachment(name=name, content=note.encode(), media_type="text/plain", description=said)
    return (file,) if note else ()
