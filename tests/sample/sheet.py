"""Lines of a day file, and dice that fall the same way on every Python.

Only `random.Random.random()` is promised to give the same numbers in later versions of Python
(library reference, "Notes on Reproducibility"), so everything is drawn from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random
from typing import TypeVar

T = TypeVar("T")

# fmt: off
COLUMNS = (
    "at", "entered", "kind", "game", "team", "player", "number", "name", "by", "value", "reason",
    "half", "count", "reading", "limit", "initials", "case", "to", "may_play", "may_carry",
    "kickoff", "site", "ref", "target", "note",
)
# fmt: on


class Dice:
    """Chance, seeded by words: one set of dice a game, so that a change stays in its game."""

    def __init__(self, *words: str) -> None:
        self._random = Random(":".join(("sample season", *words)))

    def chance(self) -> float:
        return self._random.random()

    def between(self, low: int, high: int) -> int:
        return low + int(self.chance() * (high - low + 1))

    def pick(self, choices: Sequence[T]) -> T:
        return choices[self.between(0, len(choices) - 1)]

    def some(self, choices: Sequence[T], count: int) -> list[T]:
        """`count` of the choices, in their order."""
        ranked = sorted(range(len(choices)), key=lambda _: self.chance())
        return [choices[index] for index in sorted(ranked[:count])]


@dataclass
class Line:
    """One statement: local times, and the other columns as text."""

    at: datetime
    kind: str
    columns: dict[str, str] = field(default_factory=dict)
    entered: datetime | None = None

    @property
    def written(self) -> datetime:
        return self.entered or self.at

    def set(self, **columns: object) -> None:
        self.columns.update({name: str(value) for name, value in columns.items()})

    def row(self) -> dict[str, str]:
        times = {"at": self.at.isoformat()}
        if self.entered is not None:
            times["entered"] = self.entered.isoformat()
        return {**times, "kind": self.kind, **self.columns}


class Sheet:
    """The lines of one game or one evening at the office."""

    def __init__(self) -> None:
        self.lines: list[Line] = []

    def say(
        self, kind: str, at: datetime, entered: datetime | None = None, /, **columns: object
    ) -> Line:
        line = Line(at, kind, entered=entered)
        line.set(**columns)
        self.lines.append(line)
        return line

    def find(self, *kinds: str, **columns: object) -> list[Line]:
        """The lines of these kinds with these columns, in order of time."""
        wanted = {name: str(value) for name, value in columns.items()}
        return [
            line
            for line in self.ordered()
            if line.kind in kinds and wanted.items() <= line.columns.items()
        ]

    def one(self, *kinds: str, **columns: object) -> Line:
        (line,) = self.find(*kinds, **columns)
        return line

    def drop(self, *kinds: str, **columns: object) -> None:
        """Take out what a clean game would have; there must be something to take out."""
        gone = {id(line) for line in self.find(*kinds, **columns)}
        if not gone:
            raise LookupError(f"nothing to drop: {kinds} {columns}")
        self.lines = [line for line in self.lines if id(line) not in gone]

    def delay(self, start: datetime, end: datetime, by: timedelta) -> None:
        """What was written between these moments happened so much later."""
        for line in self.lines:
            if start <= line.at < end:
                line.at += by

    def ordered(self) -> list[Line]:
        return sorted(self.lines, key=lambda line: line.written)


def seconds(count: float) -> timedelta:
    return timedelta(seconds=int(count))
