"""One moment of a ledger for its papers: lengths, roots and ends of the chains, and their notes.

Read once for a run of papers, so that all of them show the same moment: they are made from
`store`, the ledger within the lengths that its chains had. `check_still` says whether anything was
written meanwhile. Each paper gets a checkpoint of its own, signed by the chain's key alone, that
names the paper (`ledger.papers.press.paper_file`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
from ledger.chain.merkle import root
from ledger.chain.note import format_note
from ledger.errors import RuleError
from ledger.papers.press.finish import Attachment
from ledger.record.times import now_utc
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.store.within import Within

CHECKPOINT = "checkpoint.txt"
"""The name under which an audit finds the checkpoint in a paper."""
PAPER_CHECKPOINT = "paper-checkpoint.txt"
"""The paper's own checkpoint, where checkpoint.txt is the one that an official cosigned."""


@dataclass(frozen=True, slots=True)
class ChainHead:
    """The end of a chain: `office:57`, and its 64 hex digits."""

    id: str
    hash: str


class Heads:
    """The moment of a ledger that papers show.

    To make a paper again, give what it was made with: `lengths` by chain (default: as they are
    now), `printed_at` (UTC text; default: the clock), the chains whose `keys` were at hand, the
    `note` that it bears ("" for none), and the `hashes` that the ledger is held against.
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
        """When the last event of the ledger was recorded: the date of its papers."""
        self.printed_at = printed_at or now_utc()
        self._note, self._keys = note, keys
        self._origins = {chain: origin_in(self.store, chain) for chain in self.lengths}
        self._hashes = hashes
        self._roots: dict[str, bytes] = {}

    def of(self, chain: str) -> ChainHead:
        """The end of the chain."""
        head = self.store.head(chain)
        return ChainHead(f"{chain}:{head.seq}", head.hash.hex())

    def root_of(self, chain: str) -> bytes:
        """The Merkle root over the chain's events (32 bytes)."""
        if chain not in self._roots:
            hashes = self._hashes or {}
            own = hashes[chain] if chain in hashes else self.store.hashes(chain)
            self._roots[chain] = root(own)
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
        """The chains whose private keys were at hand then, and are not in this ledger."""
        return sorted(set(self.keys()) - self._at_hand())

    def _at_hand(self) -> set[str]:
        origins = self._origins.items()
        return {chain for chain, origin in origins if self.store.key(origin) is not None}

    def sign(self, chain: str, extensions: tuple[str, ...]) -> str:
        """The chain's checkpoint with these lines, signed; "" without the chain's key."""
        if self._note is not None:
            return self._note
        origin = self._origins[chain]
        private = self.store.key(origin)
        if private is None:
            return ""
        checkpoint = Checkpoint(origin, self.lengths[chain], self.root_of(chain), extensions)
        return format_note(sign_checkpoint(checkpoint, private)).decode()

    def check_still(self) -> None:
        """RuleError if anything was written since the heads were read."""
        if self._whole.last() != self._last:
            raise RuleError(
                "the ledger was written to while its papers were being made",
                hint="Print them again, when nobody is writing.",
            )


def attached(note: str, whence: str) -> tuple[Attachment, ...]:
    """The checkpoint as a file that goes with the paper; nothing without one."""
    if not note:
        return ()
    said = f"The checkpoint of the ledger after event {whence}, for weighbook audit --since"
    file = Attachment(
        name=CHECKPOINT, content=note.encode(), media_type="text/plain", description=said
    )
    return (file,)


def attached_beside(note: str) -> tuple[Attachment, ...]:
    """The paper's own checkpoint, beside the one that an official cosigned."""
    said = "The checkpoint of the ledger when this paper was printed, for weighbook check"
    return tuple(
        replace(file, name=PAPER_CHECKPOINT, description=said) for file in attached(note, "")
    )
