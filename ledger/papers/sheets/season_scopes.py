"""The numbers of the league, an association or a team, with the words that the summary has."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.derive.rule_header import rule_header
from ledger.derive.season_counts import DUE, LATE, SHORT, SUMS, CaseCounts, ScopeNumbers
from ledger.errors import count_of
from ledger.papers.sheets.season_context import RuleCount, ScopeCounts
from ledger.say import words

_HOUR, _DAY = 60, 24 * 60


def lay_scope(numbers: ScopeNumbers, *, kind: str, key: str, name: str) -> ScopeCounts:
    """`key` is the id of the association or team, "" for the league; `name` what it is called."""
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
        step_rules=tuple(_rule(rule, count) for rule, count in numbers.by_rule.items()),
        child_rules=tuple(
            _rule(rule, count) for rule, count in children.items() if rule not in SUMS
        ),
        weeks=numbers.weeks,
        no_week=numbers.no_week,
    )


def _rule(rule: str, count: int | str) -> RuleCount:
    return RuleCount(rule=rule, what=words.upper_first(rule_header(rule).what), count=str(count))


def _outcome_words(cases: CaseCounts) -> str:
    return ", ".join(f"{count} {in_words(outcome)}" for outcome, count in cases.outcomes) or "none"


def in_words(outcome: str) -> str:
    """As the forms have it: a ruling that neither upholds nor denies is "decided otherwise"."""
    return "decided otherwise" if outcome == "decided" else outcome


def _time_words(minutes: Sequence[int]) -> str:
    """From the shortest to the longest: "2 minutes to 13 days"."""
    if not minutes:
        return "–"
    first, last = duration(minutes[0]), duration(minutes[-1])
    return first if first == last else f"{first} to {last}"


def duration(minutes: int) -> str:
    """Minutes, hours or days, whichever is the largest that fills; rounded down."""
    unit, length = "minute", 1
    if minutes >= _DAY:
        unit, length = "day", _DAY
    elif minutes >= _HOUR:
        unit, length = "hour", _HOUR
    return count_of(minutes // length, unit)
