"""What an audit found: problems one by one, and one sentence for a parent."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any, NamedTuple


class Problem(NamedTuple):
    """One problem. Its class is altered, gap, fork, cut tail, reordered, unknown key, bad
    signature, list differs, disclosure differs, or exhibit differs.
    """

    chain: str
    seq: int | None
    problem: str
    detail: str


@dataclass(frozen=True)
class ChainState:
    """A chain as audited: its length, last hash and Merkle root (hex)."""

    chain: str
    length: int
    head: str
    root: str


@dataclass(frozen=True)
class AuditReport:
    """The verdict. `ok` is true when there is no problem.

    `events` were checked, of `stored` that the table says it holds; `signatures` cosigned
    checkpoints were checked, and `outside` files that somebody kept. `notes` are no problems.
    """

    events: int
    stored: int
    chains: list[ChainState] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    outside: int = 0
    signatures: int = 0

    @property
    def ok(self) -> bool:
        return not self.problems

    @property
    def sentence(self) -> str:
        """The verdict in one sentence, for somebody who was not there."""
        if self.ok:
            return (
                "Every statement in this ledger is still exactly what was written down, in the "
                "order in which it was written down."
            )
        count = len(self.problems)
        places = "one place" if count == 1 else f"{count} places"
        return (
            f"This ledger was changed after it was written, or damaged, in {places}: "
            "do not rely on it before somebody has compared it with the copies that others hold."
        )

    def as_json(self) -> dict[str, Any]:
        """The contract's answer 3.5."""
        return {
            "ok": self.ok,
            "events": self.events,
            "chains": [asdict(chain) for chain in self.chains],
            "problems": [problem._asdict() for problem in self.problems],
        }
