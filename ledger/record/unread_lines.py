"""What day-file lines that cannot be read may bring in, and what was not checked because of them.

Such a line may enter a player, appoint an official, open a case or change a roster. Other lines are
still accepted beside it, but no id that it names is told to be unknown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ledger.errors import Fault, count_of
from ledger.record.kinds import ROSTER_CHANGES, SCHEDULE_CHANGES, STATEMENTS
from ledger.record.statements import Statement

_BROUGHT_IN = {"player": "player", "by": "by", "value": "value", "name": "value", "case": "case",
               "target": "target"}  # fmt: skip
"""By the column of a fault, the column with the id that an earlier line may bring in."""
_ON_ROSTERS = frozenset({*ROSTER_CHANGES, *SCHEDULE_CHANGES, "withdraw"})


@dataclass
class UnreadLines:
    """`files` have such lines; `missed` of them have some that could not even be told apart.

    `unchecked` counts the lines that were not fully checked because of them.
    """

    files: set[str] = field(default_factory=set)
    missed: set[str] = field(default_factory=set)
    words: set[str] = field(default_factory=set)
    may_change_rosters: bool = False
    unchecked: int = 0

    def learn(self, file: str, cells: Mapping[str, str]) -> None:
        """Keep what a line says that cannot be read."""
        self.files.add(file)
        self.words |= {*cells.values()}
        kind = cells.get("kind", "")
        self.may_change_rosters |= kind not in STATEMENTS or kind in _ON_ROSTERS

    def miss(self, file: str) -> None:
        """Know that a file has lines of which nothing can be said."""
        self.files.add(file)
        self.missed.add(file)
        self.may_change_rosters = True

    def told(self, statement: Statement, faults: list[Fault]) -> list[Fault]:
        """The faults of a line that hold whatever the unread lines say."""
        told = [fault for fault in faults if not self._may_settle(statement, fault)]
        self.unchecked += len(told) < len(faults)
        return told

    def _may_settle(self, statement: Statement, fault: Fault) -> bool:
        named = getattr(statement, _BROUGHT_IN.get(fault.column, ""), None)
        return named is not None and (bool(self.missed) or named in self.words)


def unchecked_words(files: int, rows: int, lines: int) -> str:
    """ "2 files and 14 rows were not fully checked yet"; "" for nothing."""
    counts = ((files, "file", ""), (rows, "row", ""), (lines, "entry", "entries"))
    parts = [count_of(count, noun, many) for count, noun, many in counts if count]
    if not parts:
        return ""
    said = " and ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))
    return f"{said} {'was' if files + rows + lines == 1 else 'were'} not fully checked yet"
