"""Cases on the Monday page: where each stands, beside what it asks about."""

from __future__ import annotations

from ledger.derive.answered import Question
from ledger.derive.looking import Row
from ledger.say.cases import about as about_case
from ledger.say.clock import local_date, short_day
from ledger.say.codes import RULINGS
from ledger.say.words import upper_first


def about(row: Row) -> str:
    """The team and child of a case, without its game: "quokkas 46"."""
    return about_case({**row, "game": None})


def question(row: Row) -> str:
    """ "A weigh-in question."."""
    return f"{upper_first(row['question'])}."


def stands(question: Question | None, zone: str, now: str) -> str:
    """ "Answered: case short-plays, decided otherwise on Oct 12."; when it is due; "" for none.

    "See case …": it was decided, but does not settle this.
    """
    if question is None:
        return ""
    case, due = question.case_id, question.due_at
    if question.answered_at is None:
        passed = ", passed" if due and now > due else ""
        return f"Asked: case {case}, due {local_date(due, zone)}{passed}." if due else ""
    ruling = RULINGS[question.ruling] if question.ruling else "closed without a ruling"
    if not question.settles:
        return f"See case {case}, {ruling} on {short_day(question.answered_at, zone)}."
    late = f"; it was due {short_day(due, zone)}" if due and question.is_overdue else ""
    return f"Answered: case {case}, {ruling} on {short_day(question.answered_at, zone)}{late}."
