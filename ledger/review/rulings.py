"""The rulings of a case that count."""

from __future__ import annotations

from ledger.record.times import moment_of
from ledger.review.cases import Case, Entry


def rulings_of(case: Case) -> list[Entry]:
    """The rulings that count, in the order they were entered."""
    counting = [one for one in case.timeline if one.has_authority and not one.withdrawn_by]
    return sorted(counting, key=lambda entry: entry.entered_at)


def ruling_of(case: Case) -> Entry | None:
    """The latest ruling that counts."""
    return next(iter(reversed(rulings_of(case))), None)


def answered_at(case: Case) -> str | None:
    """When the first ruling that counts was entered, else the first close, else any ruling."""
    closes = [one for one in case.timeline if one.kind == "case_close" and not one.withdrawn_by]
    answers = rulings_of(case) or closes
    return min(one.entered_at for one in answers) if answers else case.answered_at


def is_answered_late(case: Case) -> bool:
    """Whether that answer came after the time to decide."""
    answered = answered_at(case)
    return bool(answered and case.due_at and moment_of(answered) > moment_of(case.due_at))
