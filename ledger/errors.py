"""One tree of errors. Each carries data and a hint: what to do next.

    LedgerError
    ├── InputError        the input makes no sense (exit status 2)
    │   └── FolderError   all faults of a season folder at once
    ├── RuleError         clear, but this person may not do it now (2)
    │   ├── ChangedError  it is no longer what this person was shown
    │   └── WrongPassphraseError  it does not open this person's key
    ├── StoreError        the ledger's file or database cannot be used (3)
    ├── IntegrityError    bytes differ from what was hashed or signed (1)
    └── ReportError       an answer or a paper cannot be made (2)

A finding about the procedure is never an error; it is a row of an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

SHOWN_FAULTS = 50


class LedgerError(Exception):
    """The root. `hint` says what to do next; it may be empty."""

    exit_status = 2

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class InputError(LedgerError):
    """The input makes no sense."""


class RuleError(LedgerError):
    """The request is clear, but this person may not do it now."""


class ChangedError(RuleError):
    """What this person was shown has changed since; nothing was done."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message, hint=hint)


class WrongPassphraseError(RuleError):
    """The passphrase does not open the key, or the sealed key is damaged."""


class StoreError(LedgerError):
    """The ledger's file or database cannot be used."""

    exit_status = 3


class IntegrityError(LedgerError):
    """Bytes differ from what was hashed or signed."""

    exit_status = 1

    def __init__(
        self, message: str, *, hint: str = "", field: str = "", expected: str = "", found: str = ""
    ) -> None:
        super().__init__(message, hint=hint)
        self.field = field
        self.expected = expected
        self.found = found


class ReportError(LedgerError):
    """An answer or a paper cannot be made."""


@dataclass(frozen=True, order=True)
class Fault:
    """One fault of an input: where it is, what was found, what was expected.

    `line` is the record's first line, counted from 1; 0 if there is none.
    """

    file: str
    line: int
    column: str
    found: str
    right: str

    def __str__(self) -> str:
        where = (self.file, f"line {self.line}" if self.line else "", self.column)
        return f"{', '.join(filter(None, where))}: found {self.found}; expected {self.right}"


class FolderError(InputError):
    """All faults of a season folder; the message shows the first 50.

    `unchecked` says what they kept from being checked: "2 files were not fully checked yet".
    """

    def __init__(self, faults: Sequence[Fault], *, unchecked: str = "") -> None:
        self.faults = tuple(sorted(set(faults)))
        count = len(self.faults)
        lines = [str(fault) for fault in self.faults[:SHOWN_FAULTS]]
        if count > SHOWN_FAULTS:
            lines.append(f"… and {count - SHOWN_FAULTS} more")
        super().__init__(
            "\n".join([f"{count_of(count, 'fault')}; nothing was written:", *lines]),
            hint=f"Fix these, then load again: {unchecked}."
            if unchecked
            else "Fix these, then run the same command again.",
        )


def count_of(count: int, noun: str, many: str = "") -> str:
    """Return a count with its noun, such as "1,000 plays"; `many` is an irregular plural."""
    return f"{count:,} {noun if count == 1 else many or noun + 's'}"
