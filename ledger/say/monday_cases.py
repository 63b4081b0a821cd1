"""Cases on the Monday page: where each stands, beside what it asks about."""

from __future__ import annotations

from ledger.derive.answered import Question
from ledger.derive.looking import Row
from ledger.say import codes
from ledger.say.cases import about as about_case
from ledger.say.clock import local_date, short_day
from ledger.say.words import upper_first

_BAD_RULING = "ruling_without_authority"
_NEITHER = " (neither upheld nor denied)"
_ANSWERS = {**codes.RULINGS, "decided": "ruled", None: "closed without a ruling"}


def about(row: Row) -> str:
    """The team and child of a case, without its game: "quokkas 46"."""
    return about_case({**row, "game": None})


def question(row: Row) -> str:
    """ "A weigh-in question."."""
    return f"{upper_first(row['question'])}."


def stands(question: Question | None, zone: str, now: str, rule: str = "") -> str:
    """ "Answered: case short-plays, upheld on Oct 12."; when it is due; "" for none.

    "See case …": it was decided, but nothing tells that this settles the finding of `rule`.
    """
    if question is None:
        return ""
    case, due = question.case_id, question.due_at
    if question.answered_at is None:
        passed = ", passed" if due and now > due else ""
        return f"Asked: case {case}, due {local_date(due, zone)}{passed}." if due else ""
    day = short_day(question.answered_at, zone)
    is_bare = question.ruling == "decided" and not question.effects
    answer = f"{_ANSWERS[question.ruling]} on {day}{_NEITHER * is_bare}"
    if not question.settles:
        return f"See case {case}, {answer}. Check if that settles this."
    late = f"; it was due {short_day(due, zone)}" if due and question.is_overdue else ""
    if rule == _BAD_RULING and question.ruling:
        return f"A reviewer ruled later. Case {case}: {answer}{late}."
    return f"Answered: case {case}, {answer}{late}."


def outcome(question: Question, zone: str, now: str) -> str:
    """`stands`, and what was ruled: "…: quokkas 21 in acorn-2a may carry."."""
    told = stands(question, zone, now)
    if not question.effects:
        return told
    return f"{told.removesuffix('.')}: {'; '.join(question.effects)}."
