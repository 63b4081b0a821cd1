"""The values of the season summary's template: plain, frozen, already decided.

Numbers of children are texts: a number, "fewer than 5" or "not shown" (ledger.derive.suppress).
All other numbers count steps of the procedure.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.season_counts import CaseCounts, StepCounts
from ledger.papers.press.charts import Figure
from ledger.papers.sheets.context import PaperHead


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCount:
    """A rule with findings; `count` is of findings, or of children if the rule is about them."""

    rule: str
    what: str
    count: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeCounts:
    """The league, an association or a team. `weeks` are findings about steps by week.

    `step_rules` are the most frequent first. `child_rules` are by name, without rules hidden in
    every scope of the same kind.
    """

    kind: str
    id: str
    name: str
    steps: StepCounts
    cases: CaseCounts
    case_words: str
    time_words: str
    due: str
    short: str
    late: str
    step_rules: tuple[RuleCount, ...]
    child_rules: tuple[RuleCount, ...]
    weeks: tuple[int, ...]
    no_week: int

    @property
    def ways(self) -> str:
        """How signatures were given, in words: "4 by key, 50 on the sheet"."""
        steps = self.steps
        counted = ((steps.key, "by key"), (steps.ink, "in ink"), (steps.sheet, "on the sheet"))
        return ", ".join(f"{count:,} {words}" for count, words in counted if count) or "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPaper:
    """`season_summary`. `weeks` are the local dates with games, in words."""

    head: PaperHead
    state: str
    well: tuple[str, ...]
    done: Figure
    signatures: Figure
    findings: tuple[Figure, ...]
    by_week: Figure | None
    times: Figure | None
    outcomes: tuple[tuple[str, str, str], ...]
    weeks: tuple[str, ...]
    league: ScopeCounts
    parts: tuple[tuple[ScopeCounts, tuple[ScopeCounts, ...]], ...]
    since_signed: str = ""
