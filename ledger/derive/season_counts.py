"""The season's numbers by league, association and team, small numbers of children hidden.

A team's games are those it plays in; its signatures those its own weighmasters owe, to its own
and to the opponents' lists; its findings, cases and statements those that name it. What names no
team is in the league's numbers alone. A game of two teams of an association counts once there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
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
_OUTCOMES = ("upheld", "denied", "decided", "closed without a ruling", "withdrawn", "open")


def child_rules() -> list[str]:
    """Rules whose findings name a player: to count them is to count children.

    Those with a finding for each statement too: one finding is one child.
    """
    return [rule for rule in rules() if rule_header(rule).about == "child"]


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
class ScopeNumbers:
    """The league, an association or a team. `weeks` are findings about steps by week.

    `by_rule` are findings about steps, the most frequent first. `children` are numbers of
    children by measure, or the words instead: DUE, SHORT and LATE, and every rule that found any,
    but those that are not shown for any scope of the same kind.
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

    games: list[dict[str, Any]]
    signatures: list[dict[str, Any]]
    findings: list[dict[str, Any]]
    children: list[dict[str, Any]]
    cases: list[dict[str, Any]]
    entries: list[dict[str, Any]]
    associations: Mapping[str, str]

    @property
    def days(self) -> list[str]:
        """The local dates with games, those that are off too: week 1, 2, 3 …"""
        return sorted({game["played_on"] for game in self.games})


def read_tables(engine: Engine) -> Tables:
    find(engine)  # the table of all findings, which the answers read
    return Tables(
        games=engine.answer("season_game").dicts(),
        signatures=engine.answer("season_signature").dicts(),
        findings=engine.answer("season_finding").dicts(),
        children=engine.answer("season_child").dicts(),
        cases=engine.answer("season_case").dicts(),
        entries=engine.answer("season_entry").dicts(),
        associations={
            row["team"]: row["association"] or NO_ASSOCIATION
            for row in engine.answer("team").dicts()
        },
    )


def hidden_children(tables: Tables) -> dict[str, dict[str, int | str]]:
    """By measure and by key of a scope (`scope_key`): the number of children, small ones hidden."""
    parents = {}
    for team, association in tables.associations.items():
        parents[scope_key("team", team)] = scope_key("association", association)
        parents[scope_key("association", association)] = LEAGUE
    counted: dict[str, dict[str, int]] = {}
    for row in tables.children:
        measure = counted.setdefault(row["measure"], {})
        measure[scope_key("team", row["team"])] = row["children"]
    # The rule plays_short finds whom `short` counts.
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
    """The numbers of these teams together; of the league where `teams` is None."""
    about_children = set(child_rules())
    by_rule: Counter[str] = Counter()
    by_day: Counter[str | None] = Counter()
    for row in tables.findings:
        if row["rule"] not in about_children and (teams is None or row["team"] in teams):
            by_rule[row["rule"]] += row["findings"]
            by_day[row["played_on"]] += row["findings"]
    children = {measure: values[scope_key(kind, key)] for measure, values in hidden.items()}
    return ScopeNumbers(
        steps=_steps(tables, teams, by_rule.total()),
        cases=_cases(row for row in tables.cases if teams is None or row["team"] in teams),
        by_rule={rule: by_rule[rule] for rule in _most_first(by_rule)},
        children={
            measure: count
            for measure, count in children.items()
            if measure in SUMS or (count != 0 and _is_shown(hidden[measure], kind))
        },
        weeks=tuple(by_day[day] for day in tables.days),
        no_week=by_day[None],
    )


def _most_first(counts: Counter[str]) -> list[str]:
    """Rules about steps only: an order by children would tell of the numbers that are hidden."""
    return sorted(counts, key=lambda rule: (-counts[rule], rule))


def _is_shown(values: Mapping[str, int | str], kind: str) -> bool:
    """Whether the measure is shown for any scope of this kind."""
    keys = [key for key in values if key.partition(":")[0] == kind]
    return any(values[key] != WITHHELD_WORDS for key in keys)


def outcomes(cases: Iterable[Mapping[str, Any]]) -> Counter[str]:
    """How the cases of these rows ended, by outcome in words."""
    counted: Counter[str] = Counter()
    for row in cases:
        if row["state"] in ("open", "withdrawn"):
            counted[row["state"]] += row["cases"]
        else:
            counted[row["ruling"] or "closed without a ruling"] += row["cases"]
    return counted


def _steps(tables: Tables, teams: Collection[str] | None, findings: int) -> StepCounts:
    games = [
        game
        for game in tables.games
        if teams is None or game["home"] in teams or game["visitor"] in teams
    ]
    ways = Counter(row["how"] for row in tables.signatures if teams is None or row["side"] in teams)
    entries = [row for row in tables.entries if teams is None or row["team"] in teams]
    weighed = [game for game in games if game["is_weighed"]]
    return StepCounts(
        games=sum(1 for game in games if not game["is_off"]),
        off=sum(1 for game in games if game["is_off"]),
        weighed=len(weighed),
        proved=sum(1 for game in weighed if game["is_proved"]),
        checks=sum(game["checks"] for game in games),
        checks_passed=sum(game["checks_passed"] for game in games),
        outs=sum(game["outs"] for game in games),
        key=ways["key"],
        ink=ways["ink"],
        sheet=ways["sheet"],
        missing=ways["missing"],
        findings=findings,
        entries=sum(row["entries"] for row in entries),
        late=sum(row["late"] for row in entries),
    )


def _cases(rows: Iterable[Mapping[str, Any]]) -> CaseCounts:
    rows = list(rows)
    ended = outcomes(rows)
    return CaseCounts(
        cases=sum(row["cases"] for row in rows),
        outcomes=tuple((outcome, ended[outcome]) for outcome in _OUTCOMES if ended[outcome]),
        overdue=sum(row["overdue"] for row in rows),
        minutes=tuple(sorted(minutes for row in rows for minutes in row["minutes"])),
    )
