"""The rulings of a case that count."""

from __future__ import annotations

from ledger.review.cases import Case, Entry


def rulings_of(case: Case) -> list[Entry]:
    """The rulings that count, in the order they were entered."""
    counting = [one for one in case.timeline if one.has_authority and not one.withdrawn_by]
    return sorted(counting, key=lambda entry: entry.entered_at)


def ruling_of(case: Case) -> Entry | None:
    """The latest ruling that counts."""
    return next(iter(reversed(rulings_of(case))), None)
