"""Count the season by league, association and team, with small numbers of children hidden.

A team's games are those it plays; its signatures those its own weighmasters owe, to its own and
the opponents' lists, given or not; its other findings, its cases and its statements those that
name it. What names no team is in the league's numbers only. A game between two teams of one
association counts once there. A child on two teams counts once, for the later one: so totals are
sums, which hiding small numbers needs, and still numbers of children. Rejected: counting such a
child for both and once in a total, because the difference would tell of one child.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.rule_header import rule_header
from ledger.derive.suppress import WITHHELD_WORDS, hide_small

LEAGUE = "league"
NO_ASSOCIATION = ""
SUMS = DUE, SHORT, LATE = "due", "short", "late"
"""Children with plays due, with fewer than are due, and late; the other measures are rules."""
_Rows = list[dict[str, Any]]
RULINGS = ("upheld", "denied", "decided")
OUTCOMES = (*RULINGS, "closed without a ruling", "withdrawn", "open")


def child_rules() -> list[str]:
    """Rules whose findings name a player: counting them counts children."""
    return [rule for rule in rules() if rule_header(rule).about == "child"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCounts:
    """Steps of the procedure, done and due.

    `key`, `ink`, `sheet` and `missing` are signatures due to lists: the league's, or those that
    the teams' own weighmasters give. `findings` are about steps; `entries` are statements.
    """

    games: int
    off: int
    weighed: int
    proved: int
    proved_after_failure: int
    checks: int
    checks_passed: int
    outs: int
    key: int
    ink: int
    sheet: int
    missing: int
    findings: int
    entries: int
    late: int

    @property
    def signed(self) -> int:
        return self.key + self.ink + self.sheet

    @property
    def due(self) -> int:
        return self.signed + self.missing


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseCounts:
    """Questions put to review. `minutes` are from the question to the first answer."""

    cases: int
    outcomes: tuple[tuple[str, int], ...]
    overdue: int
    minutes: tuple[int, ...]

    @property
    def answered(self) -> int:
        """Those with a ruling, and those that were closed without one."""
        return len(self.minutes)

    @property
    def ruled(self) -> int:
        return sum(count for outcome, count in self.outcomes if outcome in RULINGS)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeNumbers:
    """The league, an association or a team. `weeks` are findings about steps by week.

    `by_rule` are findings about steps, the most frequent first. `children` are numbers of
    children by measure, or the words instead: DUE, SHORT and LATE, and every rule that found any,
    except those not shown for any scope of the same kind.
    """

    steps: StepCounts
    cases: CaseCounts
    by_rule: Mapping[str, int]
    children: Mapping[str, int | str]
    weeks: tuple[int, ...]
    no_week: int


@dataclass(frozen=True)
class Tables:
    """The season's answers, and which team belongs to which association ("" for none)."""

    games: _Rows
    signatures: _Rows
    findings: _Rows
    children: _Rows
    cases: _Rows
    entries: _Rows
    associations: Mapping[str, str]

    @property
    def days(self) -> list[str]:
        """The local dates with games, called off or not: week 1, 2, 3 …"""
        return sorted({game["played_on"] for game in self.games})


def read_tables(engine: Engine) -> Tables:
    find(engine)  # makes the table of all findings, which the answers read
    teams = engine.answer("team").dicts()
    return Tables(
        games=engine.answer("season_game").dicts(),
        signatures=engine.answer("season_signature").dicts(),
        findings=engine.answer("season_finding").dicts(),
        children=engine.answer("season_child").dicts(),
        cases=engine.answer("season_case").dicts(),
        entries=engine.answer("season_entry").dicts(),
        associations={row["team"]: row["association"] or NO_ASSOCIATION for row in teams},
    )


def hidden_children(tables: Tables) -> dict[str, dict[str, int | str]]:
    """Numbers of children by measure and scope (`scope_key`), small ones hidden."""
    parents = {}
    for team, association in tables.associations.items():
        parents[scope_key("team", team)] = scope_key("association", association)
        parents[scope_key("association", association)] = LEAGUE
    counted: dict[str, dict[str, int]] = {}
    for row in tables.children:
        measure = counted.setdefault(row["measure"], {})
        measure[scope_key("team", row["team"])] = row["children"]
    # The rule plays_short finds the children that `short` counts.
    measures = [*SUMS, *(rule for rule in child_rules() if rule != "plays_short")]
    return {name: hide_small(counted.get(name, {}), parents) for name in measures}


def scope_key(kind: str, name: str) -> str:
    return LEAGUE if kind == LEAGUE else f"{kind}:{name}"


def count_scope(
    tables: Tables,
    hidden: Mapping[str, Mapping[str, int | str]],
    *,
    kind: str,
    key: str,
    teams: Collection[str] | None,
) -> ScopeNumbers:
    """Count these teams together; the league if `teams` is None."""
    about_children = set(child_rules())
    by_rule: Counter[str] = Counter()
    by_day: Counter[str | None] = Counter()
    for row in _in_scope(tables.findings, teams):
        if row["rule"] not in about_children:
            by_rule[row["rule"]] += row["findings"]
            by_day[row["played_on"]] += row["findings"]
    children = {}
    for measure, values in hidden.items():
        of_kind = (shown for key, shown in values.items() if key.partition(":")[0] == kind)
        count = values[scope_key(kind, key)]
        if measure in SUMS or (count != 0 and any(one != WITHHELD_WORDS for one in of_kind)):
            children[measure] = count
    return ScopeNumbers(
        steps=_steps(tables, teams, by_rule.total()),
        cases=_cases(_in_scope(tables.cases, teams)),
        # Steps only: an order by numbers of children would say something about hidden ones.
        by_rule=dict(sorted(by_rule.items(), key=lambda item: (-item[1], item[0]))),
        children=children,
        weeks=tuple(by_day[day] for day in tables.days),
        no_week=by_day[None],
    )


def _in_scope(
    rows: _Rows, teams: Collection[str] | None, *, by: Sequence[str] = ("team",)
) -> _Rows:
    return [row for row in rows if teams is None or any(row[key] in teams for key in by)]


def outcomes(cases: Iterable[Mapping[str, Any]]) -> Counter[str]:
    """Count how these cases ended, by outcome in words."""
    counted: Counter[str] = Counter()
    for row in cases:
        is_over = row["state"] not in ("open", "withdrawn")
        ended = row["ruling"] or "closed without a ruling"
        counted[ended if is_over else row["state"]] += row["cases"]
    return counted


def _steps(tables: Tables, teams: Collection[str] | None, findings: int) -> StepCounts:
    games = _in_scope(tables.games, teams, by=("home", "visitor"))
    ways = Counter(row["how"] for row in _in_scope(tables.signatures, teams, by=("side",)))
    entries = _in_scope(tables.entries, teams)
    weighed = [game for game in games if game["is_weighed"]]
    off = _sum(games, "is_off")
    return StepCounts(
        games=len(games) - off,
        off=off,
        weighed=len(weighed),
        proved=_sum(weighed, "is_proved"),
        proved_after_failure=_sum(weighed, "is_proved_after_failure"),
        **{key: _sum(games, key) for key in ("checks", "checks_passed", "outs")},
        **{how: ways[how] for how in ("key", "ink", "sheet", "missing")},
        findings=findings,
        **{key: _sum(entries, key) for key in ("entries", "late")},
    )


def _sum(rows: _Rows, key: str) -> int:
    return sum(int(row[key]) for row in rows)


def _cases(rows: _Rows) -> CaseCounts:
    ended = outcomes(rows)
    return CaseCounts(
        cases=_sum(rows, "cases"),
        outcomes=tuple((outcome, ended[outcome]) for outcome in OUTCOMES if ended[outcome]),
        overdue=_sum(rows, "overdue"),
        minutes=tuple(sorted(minutes for row in rows for minutes in row["minutes"])),
    )
