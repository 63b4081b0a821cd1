"""The season summary's numbers: for the league, an association or a team, and as a file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from ledger.derive.rule_header import rule_header
from ledger.derive.season_counts import DUE, LATE, SHORT, SUMS, CaseCounts, ScopeNumbers
from ledger.derive.suppress import FEWER_WORDS, WITHHELD_WORDS
from ledger.errors import count_of
from ledger.papers.press.attachment import Attachment
from ledger.papers.sheets.season_context import RuleCount, ScopeCounts, SeasonPaper
from ledger.say import codes
from ledger.say.season import times

NUMBERS = "season-summary.json"
_UNITS = (("day", 24 * 60), ("hour", 60), ("minute", 0))


def lay_scope(numbers: ScopeNumbers, *, kind: str, key: str, name: str) -> ScopeCounts:
    """Numbers in words. `key` is the id of the association or team, "" for the league."""
    children = numbers.children
    return ScopeCounts(
        kind=kind,
        id=key,
        name=name,
        steps=numbers.steps,
        cases=numbers.cases,
        case_words=_outcome_words(numbers.cases),
        time_words=_time_words(numbers.cases.minutes),
        due=str(children[DUE]),
        short=str(children[SHORT]),
        late=str(children[LATE]),
        step_rules=tuple(
            lay_rule(rule, str(count), times(count)) for rule, count in numbers.by_rule.items()
        ),
        child_rules=tuple(
            lay_rule(rule, str(count), of_children(count))
            for rule, count in children.items()
            if rule not in SUMS
        ),
        weeks=numbers.weeks,
        no_week=numbers.no_week,
    )


def lay_rule(rule: str, count: str, often: str) -> RuleCount:
    header = rule_header(rule)
    return RuleCount(rule=rule, area=header.area, what=header.sentence, count=count, often=often)


def of_children(count: int | str) -> str:
    """A number of children with its noun, or "number not shown"."""
    if count == WITHHELD_WORDS:
        return f"number {count}"
    return f"{count:,} children" if isinstance(count, int) else f"{count} children"


def _outcome_words(cases: CaseCounts) -> str:
    return ", ".join(f"{count} {in_words(outcome)}" for outcome, count in cases.outcomes) or "none"


def in_words(outcome: str) -> str:
    """How a case ended, as on the forms."""
    return codes.RULINGS.get(outcome, outcome)


def _time_words(minutes: Sequence[int]) -> str:
    """From the shortest to the longest: "2 minutes to 13 days"."""
    if not minutes:
        return "–"
    first, last = duration(minutes[0]), duration(minutes[-1])
    return first if first == last else f"{first} to {last}"


def duration(minutes: int) -> str:
    """In minutes, hours or days: the largest unit that fits, rounded down."""
    unit, length = next(one for one in _UNITS if minutes >= one[1])
    return count_of(minutes // (length or 1), unit)


def attached_numbers(paper: SeasonPaper) -> Attachment:
    """The paper's numbers as JSON; a small number of children is a word instead."""
    parts = [scope for whole, single in paper.parts for scope in (whole, *single)]
    content = {
        "league": paper.head.league,
        "season": paper.head.season,
        "ledger": {"event": paper.head.head_id, "hash": paper.head.head_hash},
        "as_of": paper.head.as_of,
        "known_at": paper.head.known_at,
        "children": f"1 to 4 are {FEWER_WORDS!r}; {WITHHELD_WORDS!r} is any number.",
        "weeks": list(paper.weeks),
        "scopes": [_scope(scope) for scope in (paper.league, *parts)],
    }
    text = json.dumps(content, ensure_ascii=False, indent=1) + "\n"
    return Attachment(
        name=NUMBERS,
        content=text.encode(),
        media_type="application/json",
        description="The numbers of this summary; small numbers of children are hidden",
    )


def _scope(scope: ScopeCounts) -> dict[str, Any]:
    return {
        "kind": scope.kind,
        "id": scope.id,
        "name": scope.name,
        "steps": asdict(scope.steps),
        "cases": {
            "cases": scope.cases.cases,
            "outcomes": dict(scope.cases.outcomes),
            "overdue": scope.cases.overdue,
            "minutes_to_answer": list(scope.cases.minutes),
        },
        "findings_by_rule": {rule.rule: int(rule.count) for rule in scope.step_rules},
        "findings_by_week": list(scope.weeks),
        "findings_of_no_week": scope.no_week,
        "children": {
            "plays_due": _number(scope.due),
            "plays_short": _number(scope.short),
            "late": _number(scope.late),
            "by_rule": {rule.rule: _number(rule.count) for rule in scope.child_rules},
        },
    }


def _number(text: str) -> int | str:
    return int(text) if text.isdecimal() else text
