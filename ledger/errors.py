"""One tree of errors. Each carries data and a hint: what to do next.

    LedgerError
    ├── InputError        something given to us cannot be understood (exit status 2)
    │   └── FolderError  every fault of a season folder, in one go
    ├── RuleError         understood, but not allowed to this person at this moment (2)
    ├── StoreError        the ledger's file or database cannot be used (3)
    ├── IntegrityError    stored or shown bytes are not what was hashed or signed (1)
    └── ReportError       an answer or a paper cannot be made (2)

Findings of the procedure are never errors: they are rows of an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.counts import count_of

SHOWN_FAULTS = 50


class LedgerError(Exception):
    """The root. `hint` says what would be right, or what to do next; it may be empty."""

    exit_status = 2

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class InputError(LedgerError):
    """Something given to us cannot be understood."""


class RuleError(LedgerError):
    """Understood, but not allowed to this person at this moment."""


class StoreError(LedgerError):
    """The ledger's file or database cannot be used."""

    exit_status = 3


class IntegrityError(LedgerError):
    """Stored or shown bytes are not what was hashed or signed."""

    exit_status = 1

    def __init__(
        self,
        message: str,
        *,
        hint: str = "",
        field: str = "",
        expected: str = "",
        found: str = "",
    ) -> None:
        super().__init__(message, hint=hint)
        self.field = field
        self.expected = expected
        self.found = found


class ReportError(LedgerError):
    """An answer or a paper cannot be made."""


@dataclass(frozen=True, order=True)
class Fault:
    """One fault of an input: where, what was found, what would be right.

    `line` is the first line of the record, counted from 1; 0 where there is none.
    """

    file: str
    line: int
    column: str
    found: str
    right: str

    def __str__(self) -> str:
        where = [self.file] if self.file else []
        where += [f"line {self.line}"] if self.line else []
        where += [self.column] if self.column else []
        return f"{', '.join(where)}: found {self.found}; expected {self.right}"


class FolderError(InputError):
    """Every fault of a season folder; the message shows the first 50."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        count = len(self.faults)
        lines = [str(fault) for fault in self.faults[:SHOWN_FAULTS]]
        if count > SHOWN_FAULTS:
            lines.append(f"… and {count - SHOWN_FAULTS} more")
        super().__init__(
            "\n".join([f"{count_of(count, 'fault')}; nothing was written:", *lines]),
            hint="Correct what is named above and run the same command again.",
        )
