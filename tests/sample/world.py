"""What the league knows between one Saturday and the next, and what a game's plan can ask for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from tests.sample.people import DIVISIONS, ROSTERS, TEAMS, Child, weighmasters
from tests.sample.schedule import ALLOWANCE_FROM, ALLOWANCE_LB, Fixture
from tests.sample.sheet import Dice, Line

# How a child comes to a game. `arrives` and `late` were listed absent, `mended` injured;
# `unseen` is on the roster and nobody thought of it; `skips` was listed over and not weighed.
# fmt: off
STATUSES = (
    "here", "absent", "injured", "other", "equipment", "arrives", "late", "after_half", "mended",
    "unseen", "skips",
)
# fmt: on
_ODDS = (
    ("absent", 0.045),
    ("arrives", 0.015),
    ("injured", 0.012),
    ("equipment", 0.012),
    ("late", 0.010),
    ("other", 0.006),
)
_AWAY = ("absent", "injured", "other")
_MOST_AWAY = 4


Pins = Mapping[str, Mapping[str, tuple[int, ...]]]


@dataclass
class Plan:
    """What departs from a clean game before it begins.

    pins: how children come, by team, status and numbers; calm: nobody else departs.
    stand: who stands at the scale for a team.
    fixed: plays in both halves by team and number. uncounted: teams without plays lines.
    opens_s: seconds before kickoff of the first weigh. overtime: snaps of a third half.
    """

    pins: Pins = field(default_factory=dict)
    calm: bool = False
    stand: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    fixed: Mapping[tuple[str, int], tuple[int, int]] = field(default_factory=dict)
    uncounted: tuple[str, ...] = ()
    opens_s: int = 1790
    overtime: int = 0


class World:
    """Rosters, weighmasters, book marks and injuries as they are on the day."""

    def __init__(self) -> None:
        self.rosters = {team: dict(roster) for team, roster in ROSTERS.items()}
        self.weighmasters = {team: weighmasters(team) for team in TEAMS}
        self.marked: set[str] = set()
        self.was_over: dict[str, bool] = {}
        self._out_until: dict[str, int] = {}

    def limit(self, fixture: Fixture) -> int:
        (base,) = (row.carrier_limit_lb for row in DIVISIONS if row.id == fixture.division)
        return base + (ALLOWANCE_LB if fixture.kickoff.date() >= ALLOWANCE_FROM else 0)

    def is_over(self, child: Child, fixture: Fixture) -> bool:
        near = child.scale == "+" and fixture.kickoff.date() < ALLOWANCE_FROM
        return child.scale == "*" or near

    def at_scale(self, team: str, week: int) -> tuple[str, ...]:
        """Two of the team's weighmasters, in turn."""
        own = self.weighmasters[team]
        return tuple(own[(week + step) % len(own)] for step in range(2))

    def attendance(self, fixture: Fixture, team: str, plan: Plan, dice: Dice) -> dict[int, str]:
        pinned = {
            number: status
            for status, numbers in plan.pins.get(team, {}).items()
            for number in numbers
        }
        coming: dict[int, str] = {}
        for number, child in sorted(self.rosters[team].items()):
            fallen = _fall(dice)
            if plan.calm or sum(status in _AWAY for status in coming.values()) >= _MOST_AWAY:
                fallen = "here"
            if number in pinned:
                coming[number] = pinned[number]
            elif self._out_until.get(child.id, 0) >= fixture.week:
                coming[number] = "injured"
            else:
                coming[number] = fallen
            if coming[number] == "injured" and number not in pinned:
                self._out_until.setdefault(child.id, fixture.week + dice.between(0, 2))
        unknown = pinned.keys() - coming.keys()
        if unknown or not set(pinned.values()) <= set(STATUSES):
            raise LookupError(f"{fixture.id} {team}: no such child or status: {pinned}")
        return coming

    def remember(self, fixture: Fixture, lines: Iterable[Line]) -> None:
        """After a game: who has a mark in the book, and who is known to be over."""
        rosters = self.rosters.values()
        everybody = {child.id: child for roster in rosters for child in roster.values()}
        for line in lines:
            team, number = line.columns.get("team", ""), line.columns.get("number", "")
            child = everybody.get(line.columns.get("player", ""))
            if number and "name" not in line.columns:
                child = self.rosters[team][int(number)]
            if child is None:
                continue
            if line.kind == "initial":
                self.marked.add(child.id)
            if line.kind in ("weigh", "late_weigh"):
                self.was_over[child.id] = self.is_over(child, fixture)


def _fall(dice: Dice) -> str:
    fallen = dice.chance()
    for status, odds in _ODDS:
        fallen -= odds
        if fallen < 0:
            return status
    return "here"
