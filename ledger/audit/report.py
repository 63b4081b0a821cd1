"""What an audit found: problems and notes step by step, and one sentence for a parent.

Codes in `Problem.problem`:

    altered             bytes, a column, a row or the file itself changed after writing
    unreadable          the file is damaged there; what it contained is unknown
    gap                 something required is missing
    fork                two histories: two events have one number, or another history was signed
    cut tail            fewer events than someone signed or kept
    reordered           events are not in the order of acceptance
    unknown key         signed or revoked with a key that was not in force
    bad signature       a signature that does not match its text and key
    list differs        a signed list does not match its events
    disclosure differs  personal text does not match its event, or is missing without an erasure
    exhibit differs     a file handed in does not match its event, or is missing
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from dataclasses import asdict, dataclass, field
from typing import Any, NamedTuple, Self

from ledger.chain.event import Event

_KEPT = 7
"""The step that compares copies kept outside the ledger."""


class Problem(NamedTuple):
    """One problem; `problem` is its code. Chain and seq are empty for the file as a whole."""

    chain: str
    seq: int | None
    problem: str
    detail: str

    @classmethod
    def of_event(cls, event: Event, problem: str, detail: str) -> Self:
        return cls(event.chain, event.seq, problem, detail)

    @classmethod
    def of_file(cls, problem: str, detail: str) -> Self:
        return cls("", None, problem, detail)

    @property
    def where(self) -> str:
        """The event id, the chain, or the file."""
        return f"{self.chain}:{self.seq}" if self.seq else self.chain or "the file"


Judged = Set[tuple[str, int | None]]
"""Chain and number of events that an earlier step found wrong. Later steps skip them."""


@dataclass(frozen=True)
class ChainState:
    """A chain's length, last hash and Merkle root (hex)."""

    chain: str
    length: int
    head: str
    root: str


@dataclass
class Step:
    """One numbered step: what it looked at (a sentence), its problems and notes."""

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

    intact: bytes, links, order, trees and checkpoints are as written (steps 1 to 3).
    countersigned: there are signed lists, and every signature and signed list holds (4, 5).
    complete: every row was checked, and every text and file is here or accounted for (6).
    anchored: consistent with every kept copy, and there is at least one (7).
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
    """The audit's findings. `ok` is true if there is no problem.

    Counts: `events` checked out of `stored` in the table, signed lists (`signatures`), and copies
    compared (`kept`).
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
        """The verdict for a reader who was not there."""
        if self.ok and self.kept:
            order = "in that order" if len(self.chains) < 2 else "each chain in its order"
            return (
                "Up to the kept copies, every statement in this ledger is still exactly what was "
                f"written down, {order}. Nothing after them contradicts it."
            )
        if self.ok:
            return (
                "Nothing in this ledger contradicts itself, and every signature fits what was "
                "signed. Only a copy that someone kept can show whether the whole ledger was "
                "rewritten (--since FILE)."
            )
        if all(step.ok for step in self.steps if step.number != _KEPT):
            return (
                "Nothing in this ledger contradicts itself, but it does not continue a copy that "
                "someone kept. Either it was cut or rewritten, or that copy is from another "
                "ledger. Do not rely on it until you know which."
            )
        count = len(self.problems)
        places = "one place" if count == 1 else f"{count} places"
        return (
            f"This ledger was changed after it was written, or damaged, in {places}. "
            "Do not rely on it until you have compared it with copies that others kept."
        )

    def as_json(self) -> dict[str, Any]:
        """Return the answer of `--format json` (sql/README.md, section 11)."""
        return {
            "ok": self.ok,
            "events": self.events,
            "chains": [asdict(chain) for chain in self.chains],
            "problems": [problem._asdict() for problem in self.problems],
        }
