"""What the season summary's template is given: plain frozen values, already decided.

Numbers of children are texts: a number, "fewer than 5" or "not shown" (ledger.derive.suppress).
Everything else counts steps of the procedure and is shown as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.press.charts import Figure
from ledger.papers.sheets.context import PaperHead


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCounts:
    """Steps of the procedure, done and due.

    `key`, `ink`, `sheet` and `missing` are signatures due to lists: those of the league, or those
    that the teams' own weighmasters give. `findings` are about steps; `entries` are statements.
    """

    games: int = 0
    off: int = 0
    weighed: int = 0
    proved: int = 0
    checks: int = 0
    checks_passed: int = 0
    outs: int = 0
    key: int = 0
    ink: int = 0
    sheet: int = 0
    missing: int = 0
    findings: int = 0
    entries: int = 0
    late: int = 0

    @property
    def signed(self) -> int:
        return self.key + self.ink + self.sheet

    @property
    def due(self) -> int:
        return self.signed + self.missing

    @property
    def ways(self) -> str:
        """How signatures were given, in words: "4 by key, 50 on the sheet"."""
        counted = ((self.key, "by key"), (self.ink, "in ink"), (self.sheet, "on the sheet"))
        return ", ".join(f"{count:,} {words}" for count, words in counted if count) or "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseCounts:
    """Questions put to review. `minutes` are those from the asking to the first answer."""

    cases: int = 0
    outcomes: tuple[tuple[str, int], ...] = ()
    overdue: int = 0
    minutes: tuple[int, ...] = ()

    @property
    def answered(self) -> int:
        return len(self.minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCount:
    """A rule with something to look at; `count` are findings, or children where it is of them."""

    rule: str
    what: str
    count: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeCounts:
    """The league, an association or a team. `weeks` are findings about steps by week.

    `step_rules` have the most frequent first; `child_rules` stand by name, and lack those that
    are not shown for any scope of the same kind.
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
