"""The ends of the ledger's chains as papers show them: id, hash, and a signed checkpoint.

Read once for a run of papers, so that all of them show the same moment; `check_still` says
whether it was one.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.chain.note import format_note
from ledger.errors import RuleError
from ledger.papers.finish import Attachment
from ledger.store.chains import origin_in, sign_head
from ledger.store.store import Store

CHECKPOINT = "checkpoint.txt"
"""The name under which an audit finds the checkpoint in a paper."""


@dataclass(frozen=True, slots=True)
class ChainHead:
    """The end of a chain: `office:57`, 64 hex digits, and the note; "" without the chain's key."""

    id: str
    hash: str
    checkpoint: str


class Heads:
    """Heads of the chains of one ledger, each read when it is first asked for."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._last = store.last()
        self._heads: dict[str, ChainHead] = {}

    @property
    def stamp(self) -> str:
        """When the last event of the ledger was recorded: the date of its papers."""
        return self._last.recorded

    def of(self, chain: str) -> ChainHead:
        """The head of the chain; its checkpoint is signed anew, if this ledger has the key."""
        if chain not in self._heads:
            head = self._store.head(chain)
            note = ""
            if self._store.key(origin_in(self._store, chain)) is not None:
                note = format_note(sign_head(self._store, chain)).decode()
            self._heads[chain] = ChainHead(f"{chain}:{head.seq}", head.hash.hex(), note)
        return self._heads[chain]

    def check_still(self) -> None:
        """RuleError if anything was written since the heads were read."""
        if self._store.last() != self._last:
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
