"""The season's numbers by league, association and team: from the answers to frozen values.

A team's games are those it plays in; its signatures those its own weighmasters owe, to its own
and to the opponents' lists; its findings, cases and statements those that name it. What names no
team is in the league's numbers alone. A game of two teams of an association counts once there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.counts import count_of
from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.rule_header import rule_header
from ledger.derive.suppress import WITHHELD_WORDS, hide_small
from ledger.papers.sheets.season_context import CaseCounts, RuleCount, ScopeCounts, StepCounts
from ledger.say import words

LEAGUE = "league"
NO_ASSOCIATION = ""
DUE, SHORT, LATE = "due", "short", "late"
_OUTCOMES = ("upheld", "denied", "decided", "closed without a ruling", "withdrawn", "open")
_HOUR, _DAY = 60, 24 * 60


def child_rules() -> list[str]:
    """Rules whose findings name a player: to count them is to count children.

    Those with a finding for each statement too: one finding is one child.
    """
    return [rule for rule in rules() if rule_header(rule).about == "child"]


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
    measures = [DUE, SHORT, LATE, *(rule for rule in child_rules() if rule != "plays_short")]
    return {name: hide_small(counted.get(name, {}), parents) for name in measures}


def scope_key(kind: str, name: str) -> str:
    return LEAGUE if kind == LEAGUE else f"{kind}:{name}"


def count_scope(
    tables: Tables,
    hidden: Mapping[str, Mapping[str, int | str]],
    *,
    kind: str,
    key: str,
    name: str,
    teams: Collection[str] | None,
) -> ScopeCounts:
    """The numbers of these teams together; of the league where `teams` is None."""
    about_children = set(child_rules())
    found = [
        row
        for row in tables.findings
        if row["rule"] not in about_children and (teams is None or row["team"] in teams)
    ]
    cases = _cases(row for row in tables.cases if teams is None or row["team"] in teams)
    children = {measure: values[scope_key(kind, key)] for measure, values in hidden.items()}
    by_rule: Counter[str] = Counter()
    by_day: Counter[str | None] = Counter()
    for row in found:
        by_rule[row["rule"]] += row["findings"]
        by_day[row["played_on"]] += row["findings"]
    return ScopeCounts(
        kind=kind,
        id=key,
        name=name,
        steps=_steps(tables, teams, by_rule.total()),
        cases=cases,
        case_words=_outcome_words(cases),
        time_words=_time_words(cases.minutes),
        due=str(children[DUE]),
        short=str(children[SHORT]),
        late=str(children[LATE]),
        step_rules=tuple(_rule(rule, str(by_rule[rule])) for rule in _most_first(by_rule)),
        child_rules=tuple(
            _rule(rule, str(count))
            for rule, count in children.items()
            if rule not in (DUE, SHORT, LATE) and count != 0 and _is_shown(hidden[rule], kind)
        ),
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


def _rule(rule: str, count: str) -> RuleCount:
    return RuleCount(rule=rule, what=words.upper_first(rule_header(rule).what), count=count)


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
