"""What an audit found: problems step by step, notes beside them, and one sentence for a parent.

Classes of problem, by the word in `Problem.problem`:

    altered             bytes, a column, a row or the file itself are not as they were written
    unreadable          the file is damaged there: what it held is not known
    gap                 something that must be there is missing
    fork                two histories: a number stands twice, or another history was signed
    cut tail            fewer events than somebody signed or kept
    reordered           events stand in another order than they were accepted in
    unknown key         signed or revoked by a key that was not in force
    bad signature       a signature that does not belong to its text and key
    list differs        a signed list is not the one that the events give
    disclosure differs  personal text is not what the event says, or is missing without an erasure
    exhibit differs     a file handed in is not what the event says, or is missing
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from dataclasses import asdict, dataclass, field
from typing import Any, NamedTuple

_KEPT = 7
"""The step that looks at copies outside the ledger."""


class Problem(NamedTuple):
    """One problem: `problem` is its class; chain and seq are empty for the file as a whole."""

    chain: str
    seq: int | None
    problem: str
    detail: str

    @property
    def where(self) -> str:
        """The event id, the chain, or the file."""
        return f"{self.chain}:{self.seq}" if self.seq else self.chain or "the file"


Judged = Set[tuple[str, int | None]]
"""Chain and number of events that an earlier step found wrong: not believed, nor judged again."""


@dataclass(frozen=True)
class ChainState:
    """A chain as audited: its length, last hash and Merkle root (hex)."""

    chain: str
    length: int
    head: str
    root: str


@dataclass
class Step:
    """One numbered step: what it looked at, in a sentence, what is wrong, what is worth saying."""

    number: int
    title: str
    looked_at: str = ""
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def ok(self) -> bool:
        return not self.problems

    def add(self, problems: Iterable[Problem]) -> None:
        self.problems += problems


@dataclass(frozen=True)
class Verdict:
    """Four answers that one yes or no would hide.

    intact: bytes, links, order, trees and checkpoints are as they were written (steps 1 to 3).
    countersigned: lists were countersigned, and every signature and signed list holds (4, 5).
    complete: every row was looked at, and every text and file is there or accounted for (6).
    anchored: compared with copies that others kept, and consistent with each (7).
    """

    intact: bool
    countersigned: bool
    complete: bool
    anchored: bool

    def __str__(self) -> str:
        answers = (f"{name}: {'yes' if value else 'no'}" for name, value in asdict(self).items())
        return " · ".join(answers)


@dataclass(frozen=True)
class AuditReport:
    """The audit. `ok` is true when there is no problem.

    `events` were checked, of `stored` that the table holds; `signatures` is the number of
    countersigned lists, `kept` of the copies that it was compared with.
    """

    events: int
    stored: int
    chains: list[ChainState] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    signatures: int = 0
    kept: int = 0

    @property
    def problems(self) -> list[Problem]:
        """Every problem, in the order of the steps."""
        return [problem for step in self.steps for problem in step.problems]

    @property
    def notes(self) -> list[str]:
        return [note for step in self.steps for note in step.notes]

    @property
    def ok(self) -> bool:
        return not self.problems

    @property
    def verdict(self) -> Verdict:
        def holds(*numbers: int) -> bool:
            return all(step.ok for step in self.steps if step.number in numbers)

        return Verdict(
            intact=holds(1, 2, 3),
            countersigned=self.signatures > 0 and holds(4, 5),
            complete=self.events == self.stored and holds(6),
            anchored=self.kept > 0 and holds(7),
        )

    @property
    def sentence(self) -> str:
        """The verdict in one sentence, for somebody who was not there."""
        if self.ok and self.kept:
            order = "in that order" if len(self.chains) < 2 else "each chain in its order"
            return (
                "Up to the copies that it was compared with, every statement in this ledger is "
                f"still exactly what was written down, {order}; nothing after them contradicts it."
            )
        if self.ok:
            return (
                "Nothing in this ledger contradicts itself, and what is signed in it fits its "
                "signatures. Whether it was written anew as a whole, only a copy that somebody "
                "kept can show (--since FILE)."
            )
        if all(step.ok for step in self.steps if step.number != _KEPT):
            return (
                "This ledger is whole in itself, but it does not continue a copy that somebody "
                "kept: either it was cut or written anew, or that copy is of another ledger. Do "
                "not rely on it before somebody has found out which."
            )
        count = len(self.problems)
        places = "one place" if count == 1 else f"{count} places"
        return (
            f"This ledger was changed after it was written, or damaged, in {places}: "
            "do not rely on it before somebody has compared it with the copies that others hold."
        )

    def as_json(self) -> dict[str, Any]:
        """The answer of `--format json` (sql/README.md, section 11)."""
        return {
            "ok": self.ok,
            "events": self.events,
            "chains": [asdict(chain) for chain in self.chains],
            "problems": [problem._asdict() for problem in self.problems],
        }
