"""The values of the season summary's template: plain, frozen, already decided.

Numbers of children are texts: a number, "fewer than 5" or "not shown" (ledger.derive.suppress).
All other numbers count steps of the procedure.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.season_counts import CaseCounts, StepCounts
from ledger.derive.suppress import FEWER_WORDS
from ledger.papers.press.charts import Figure
from ledger.papers.sheets.context import PaperHead


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCount:
    """A rule with findings; `count` is of findings, or of children if the rule is about them.

    `what` is a sentence, `often` is the count with its noun. `together` is both in one sentence,
    where there is one.
    """

    rule: str
    area: str
    what: str
    count: str
    often: str
    together: str = ""

    @property
    def seen(self) -> str:
        """The sentence with its number, and without one for fewer than 5 children."""
        if self.count == FEWER_WORDS:
            return self.what
        return self.together or f"{self.what.removesuffix('.')}: {self.often}."


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaShown:
    """A part of the procedure on the front: what was seen, and what we recommend.

    `more` is how many rules of this part are only in the appendix.
    """

    heading: str
    seen: tuple[str, ...]
    more: int
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamRow:
    """A line of the table of teams: the league, an association or a team."""

    kind: str
    name: str
    cells: tuple[str, ...]


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
        """How signatures were given, in words: "4 by key, 50 on the sheet, 2 missing"."""
        steps = self.steps
        counted = (
            (steps.key, "by key"),
            (steps.ink, "in ink"),
            (steps.sheet, "on the sheet"),
            (steps.missing, "missing"),
        )
        return ", ".join(f"{count:,} {words}" for count, words in counted if count) or "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPaper:
    """`season_summary`. `weeks` are the local dates with games, in words.

    `plays_due` is the league's rule. `plays` are labels and numbers of the front. `findings` are
    the league's rules with findings, by part of the procedure.
    """

    head: PaperHead
    state: str
    plays_due: str
    plays: tuple[tuple[str, str], ...]
    well: tuple[str, ...]
    areas: tuple[AreaShown, ...]
    teams: tuple[TeamRow, ...]
    findings: tuple[tuple[str, tuple[RuleCount, ...]], ...]
    by_week: Figure | None
    checks: str
    outs: str
    times: str
    outcomes: tuple[tuple[str, str, str], ...]
    weeks: tuple[str, ...]
    league: ScopeCounts
    parts: tuple[tuple[ScopeCounts, tuple[ScopeCounts, ...]], ...]
    since_signed: str = ""
