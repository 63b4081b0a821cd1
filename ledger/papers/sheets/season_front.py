"""The season summary's two pages for the board: plays, what to improve, the table of teams.

What is said of a part of the procedure is in a fixed order, or by numbers of steps. An order by
numbers of children would say something about those that are hidden.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ledger.derive.rule_header import AREAS
from ledger.derive.suppress import FEWER_WORDS
from ledger.papers.sheets.season_context import AreaShown, RuleCount, ScopeCounts, TeamRow
from ledger.papers.sheets.season_numbers import lay_rule, of_children
from ledger.say import season as say

FRONT = 3
"""How many sentences the front has for a part of the procedure."""
FEW = "1 to 4"
"""FEWER_WORDS in a narrow column."""


def lay_plays(league: ScopeCounts) -> tuple[tuple[str, str], ...]:
    """What the season was for, in numbers."""
    uncounted = next((r.count for r in league.step_rules if r.rule == "plays_not_counted"), "0")
    return (
        ("Children with plays due", league.due),
        ("Children short of plays, at least once", league.short),
        ("Children weighed late, at least once", league.late),
        ("Times nobody counted a team’s plays", uncounted),
    )


def lay_areas(league: ScopeCounts) -> tuple[AreaShown, ...]:
    """Each part of the procedure with findings, and what we recommend."""
    return tuple(
        AreaShown(
            heading=say.AREAS[area],
            seen=tuple(rule.seen for rule in rules[:FRONT]),
            more=len(rules[FRONT:]),
            advice=say.ADVICE[area],
        )
        for area, rules in _by_area(league)
    )


def lay_findings(league: ScopeCounts) -> tuple[tuple[str, tuple[RuleCount, ...]], ...]:
    """Every rule with findings, by part of the procedure."""
    return tuple((say.AREAS[area], tuple(rules)) for area, rules in _by_area(league))


def _by_area(league: ScopeCounts) -> Iterable[tuple[str, Sequence[RuleCount]]]:
    rules = [*_short(league), *league.step_rules, *league.child_rules]
    for area in AREAS:
        if own := [rule for rule in rules if rule.area == area]:
            yield area, own


def _short(league: ScopeCounts) -> list[RuleCount]:
    """The rule plays_short, whose children are counted as a sum."""
    if league.short == "0":
        return []
    rule = lay_rule("plays_short", league.short, of_children(league.short))
    return [
        replace(rule, together=say.TOO_FEW.format(rule.often)) if rule.count.isdecimal() else rule
    ]


def lay_teams(
    league: ScopeCounts, parts: Iterable[tuple[ScopeCounts, tuple[ScopeCounts, ...]]]
) -> tuple[TeamRow, ...]:
    """Teams under their associations, the league last."""
    scopes = [scope for whole, teams in parts for scope in (whole, *teams)]
    return tuple(_row(scope) for scope in (*scopes, league))


def _row(scope: ScopeCounts) -> TeamRow:
    steps = scope.steps
    open_cases = dict(scope.cases.outcomes).get("open", 0)
    return TeamRow(
        kind=scope.kind,
        name="The league" if scope.kind == "league" else scope.name,
        cells=(
            _share(steps.weighed, steps.games),
            _share(steps.proved, steps.weighed),
            _share(steps.signed, steps.due),
            f"{steps.late:,}",
            f"{steps.findings:,}",
            *(FEW if n == FEWER_WORDS else n for n in (scope.due, scope.short, scope.late)),
            f"{scope.cases.cases}" + f" ({open_cases} open)" * bool(open_cases),
        ),
    )


def _share(part: int, whole: int) -> str:
    return f"{part:,} of {whole:,}" if whole else "–"
