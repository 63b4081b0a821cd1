"""The rulings of a case that count."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from ledger.chain.event import Event
from ledger.record.times import moment_of
from ledger.review.cases import Case, Entry

_IN_ONE_GO = timedelta(minutes=10)
"""Rulings about several players that are written one after the other; the number is ours."""


def rulings_of(case: Case) -> list[Entry]:
    """The rulings that count, in the order they were entered."""
    counting = [one for one in case.timeline if one.has_authority and not one.withdrawn_by]
    return sorted(counting, key=lambda entry: entry.entered_at)


def ruling_of(case: Case) -> Entry | None:
    """The latest ruling that counts."""
    return next(iter(reversed(rulings_of(case))), None)


def decision_of(case: Case, events: Mapping[str, Event]) -> list[Entry]:
    """The latest ruling that counts, and those that its author gave with it, about other players.

    The first has the time of the decision; any of them may give the reason. `events` are by id.
    """
    found: list[Entry] = []
    about = set()
    for one in reversed(rulings_of(case)):
        event = events[one.event_id]
        subject = event.game, event.team, event.player
        if found and (subject in about or not _is_together(one, found[-1])):
            break
        about.add(subject)
        found.append(one)
    return found[::-1]


def _is_together(one: Entry, after: Entry) -> bool:
    pause = moment_of(after.happened_at) - moment_of(one.happened_at)
    return (one.by, one.value) == (after.by, after.value) and abs(pause) <= _IN_ONE_GO


def answered_at(case: Case) -> str | None:
    """When the first ruling that counts was entered, else the first close, else any ruling."""
    closes = [one for one in case.timeline if one.kind == "case_close" and not one.withdrawn_by]
    answers = rulings_of(case) or closes
    return min(one.entered_at for one in answers) if answers else case.answered_at


def is_answered_late(case: Case) -> bool:
    """Whether that answer came after the time to decide."""
    answered = answered_at(case)
    return bool(answered and case.due_at and moment_of(answered) > moment_of(case.due_at))
