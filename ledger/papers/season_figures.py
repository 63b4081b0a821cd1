"""A season in numbers: the season_* answers for the league, each association and each team, with
the small counts of children kept back.

    sum_up(engine)   every number that a summary may show

What is counted as children (suppressed by `ledger.papers.suppress`): who was weighed, who came
late, who was short of plays, each once a game; and the findings that name a player, by rule and by
week, for the league alone. All other counts are of steps and are shown as they are. The counts are
kept back for the whole league at once, whichever part of it a paper shows, so that papers of two
teams laid side by side give nothing away either.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import rules
from ledger.papers.suppress import Shown, Sum, Table, suppress

LEAGUE = ("league", "")
SHORT_RULE = "plays_short"
"""The rule whose findings are the children short of plays: one number, so one cell."""
CHILDREN = ("weighed", "late", "short")
_PLAYERS = "player findings"
Where = tuple[str, str]
"""A level (league, association, team) and a unit of it."""


@dataclass(frozen=True, slots=True)
class RuleCount:
    """How often a rule was raised; `is_shared`: for a whole game, so for both of its teams."""

    rule: str
    count: Shown
    is_about_player: bool
    is_shared: bool = False


@dataclass(frozen=True, slots=True)
class WeekCount:
    """One day with games; `week` and `date` are None for what has no game. `players` is None
    except for the league."""

    week: int | None
    date: str | None
    games: int
    games_off: int
    weighed: int
    signed: int
    signatures_due: int
    steps: int
    players: Shown | None


@dataclass(frozen=True, slots=True)
class UnitCount:
    """All numbers of the league, an association or a team. The rows are those of the answers
    season_games, season_signatures, season_entries and season_cases."""

    level: str
    unit: str
    games: Mapping[str, Any]
    signatures: Mapping[str, int]
    entries: Mapping[str, int]
    cases: Mapping[str, Any]
    children: Mapping[str, Shown]
    rules: tuple[RuleCount, ...]
    weeks: tuple[WeekCount, ...]
    outcomes: tuple[Mapping[str, Any], ...]

    @property
    def signed(self) -> int:
        return self.signatures["due"] - self.signatures["missing"]


@dataclass(frozen=True, slots=True)
class SeasonCount:
    """`members` are the teams of each unit, by id; `rules` all rules that there are;
    `player_findings` how many findings name a player."""

    units: Mapping[Where, UnitCount]
    members: Mapping[Where, tuple[str, ...]]
    rules: tuple[str, ...]
    player_findings: Shown


def sum_up(engine: Engine) -> SeasonCount:
    """Everything that a summary of the season may show, as of the engine's moment."""
    engine.unite("finding", rules())
    answers = {
        name: engine.answer(f"season_{name}").dicts()
        for name in (
            "games",
            "signatures",
            "entries",
            "cases",
            "children",
            "findings",
            "weeks",
        )
    }
    members: dict[Where, list[str]] = {}
    for row in engine.answer("season_scope").dicts():
        members.setdefault(_where(row), []).append(row["team"])
    table = _kept_back(answers, members)
    return SeasonCount(
        units={where: _unit(where, answers, table) for where in members},
        members={where: tuple(teams) for where, teams in members.items()},
        rules=tuple(rules()),
        player_findings=table[_PLAYERS],
    )


Answers = Mapping[str, list[dict[str, Any]]]


def _where(row: Mapping[str, Any]) -> Where:
    return row["level"], row["unit"]


def _of(rows: Iterable[dict[str, Any]], where: Where) -> list[dict[str, Any]]:
    return [row for row in rows if _where(row) == where]


def _child_cell(what: str, where: Where) -> str:
    return f"{what} {where[0]} {where[1]}"


def _rule_cell(rule: str) -> str:
    return _child_cell("short", LEAGUE) if rule == SHORT_RULE else f"rule {rule}"


def _kept_back(answers: Answers, members: Mapping[Where, list[str]]) -> Table:
    """Every count of children, and the sums in which they stand."""
    counts: dict[str, int] = {}
    sums = []
    for what in CHILDREN:
        for row in answers["children"]:
            counts[_child_cell(what, _where(row))] = row[what]
        associations = [where for where in members if where[0] == "association"]
        sums += [
            Sum(
                _child_cell(what, where),
                tuple(_child_cell(what, ("team", team)) for team in members[where]),
            )
            for where in associations
        ]
        parts = tuple(_child_cell(what, where) for where in associations)
        sums.append(Sum(_child_cell(what, LEAGUE), parts))
    weeks = {f"week {row['week']}": row["player_findings"] for row in _of(answers["weeks"], LEAGUE)}
    raised = {
        _rule_cell(row["rule"]): row["findings"]
        for row in _of(answers["findings"], LEAGUE)
        if row["is_about_player"]
    }
    counts |= {**weeks, **raised, _PLAYERS: sum(weeks.values())}
    sums += [Sum(_PLAYERS, tuple(weeks)), Sum(_PLAYERS, tuple(raised))]
    return suppress(counts, sums)


def _unit(where: Where, answers: Answers, table: Table) -> UnitCount:
    signatures = _of(answers["signatures"], where)
    cases = _of(answers["cases"], where)
    return UnitCount(
        level=where[0],
        unit=where[1],
        games=_of(answers["games"], where)[0],
        signatures=next((row for row in signatures if row["week"] is None), _NO_SIGNATURES),
        entries=_of(answers["entries"], where)[0],
        cases=next((row for row in cases if row["reason"] is None), _NO_CASES),
        children={what: table[_child_cell(what, where)] for what in CHILDREN},
        rules=tuple(_rules(where, answers, table)),
        weeks=tuple(_weeks(where, answers, signatures, table)),
        outcomes=tuple(row for row in cases if row["reason"] is not None),
    )


_NO_SIGNATURES = {"due": 0, "by_key": 0, "by_ink": 0, "by_sheet": 0, "missing": 0}
_NO_CASES = {
    "cases": 0,
    "answered": 0,
    "answered_late": 0,
    "overdue_open": 0,
    "middle_hours": None,
    "longest_hours": None,
}


def _rules(where: Where, answers: Answers, table: Table) -> Iterable[RuleCount]:
    for row in _of(answers["findings"], where):
        if not row["is_about_player"]:
            yield RuleCount(row["rule"], row["findings"], False, row["is_shared"])
        elif where == LEAGUE:
            yield RuleCount(row["rule"], table[_rule_cell(row["rule"])], True)


def _weeks(
    where: Where, answers: Answers, signatures: list[dict[str, Any]], table: Table
) -> Iterable[WeekCount]:
    signed = {row["week"]: row for row in signatures if row["week"] is not None}
    for row in _of(answers["weeks"], where):
        given = signed.get(row["week"], _NO_SIGNATURES)
        yield WeekCount(
            week=row["week"],
            date=row["game_date"],
            games=row["games"],
            games_off=row["games_off"],
            weighed=row["games_weighed"],
            signed=given["due"] - given["missing"],
            signatures_due=given["due"],
            steps=row["step_findings"],
            players=table[f"week {row['week']}"] if where == LEAGUE else None,
        )
