"""One clean game as statements: lists, scale, weigh-in, signatures, halves and plays.

The steps and their order are common practice, no source: own side lists beforehand; the visitors
are weighed first, by the home team's weighmasters, who mark the book, complete and keep the list.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from tests.sample.people import initials
from tests.sample.plays import Counts, count_half
from tests.sample.schedule import Fixture
from tests.sample.sheet import Dice, Sheet, seconds
from tests.sample.world import Plan, World

LISTED_BEFORE = {
    "absent": "absent",
    "arrives": "absent",
    "late": "absent",
    "after_half": "absent",
    "injured": "injured",
    "mended": "injured",
    "other": "other",
}
ON_TIME = ("here", "mended")
AT_THE_END = ("equipment", "arrives")
ALL_GAME = (*ON_TIME, *AT_THE_END)
_OTHER_NOTES = ("at a cousin's wedding", "school concert", "away with grandparents")
_GEAR = ("mouth_guard", "mouth_guard", "chin_strap", "cleats", "helmet", "equipment")


class Game(Sheet):
    """The clean game of a fixture under a plan; stories change its lines afterwards."""

    def __init__(self, world: World, fixture: Fixture, plan: Plan | None = None) -> None:
        super().__init__()
        self.world = world
        self.fixture = fixture
        self.plan = plan or Plan()
        self.dice = Dice(fixture.id)
        self.coming = {
            team: world.attendance(fixture, team, self.plan, self.dice) for team in fixture.sides
        }
        self.stand = {
            team: self.plan.stand.get(team, world.at_scale(team, fixture.week))
            for team in fixture.sides
        }
        self._write()

    def after(self, minutes: float, *, more: float = 0) -> datetime:
        """A moment so many minutes (and seconds) after kickoff; negative: before."""
        return self.fixture.kickoff + timedelta(minutes=minutes) + seconds(more)

    def add(self, kind: str, at: datetime, by: str, /, **columns: object) -> None:
        self.say(kind, at, by=by, game=self.fixture.id, **columns)

    def keepers(self, team: str) -> tuple[str, ...]:
        """Who weighs this team and keeps its list: the opponents' side of the scale."""
        return self.stand[self.fixture.other(team)]

    def child(self, team: str, number: int) -> str:
        return self.world.rosters[team][number].id

    def _write(self) -> None:
        opens = -self.plan.opens_s
        self._before(opens)
        ready = {}
        at = self.fixture.kickoff + seconds(opens)
        for team in self.fixture.sides:
            at = self._weigh_in(team, ON_TIME, at) + seconds(35)
        for team in self.fixture.sides:
            ready[team] = at = self._weigh_in(team, AT_THE_END, at)
        self._close(at)
        self._play()

    def _before(self, opens: int) -> None:
        at = self.fixture.kickoff + seconds(opens)
        for team, coming in self.coming.items():
            when = at - seconds(self.dice.between(500, 800))
            coach = f"{team}-coach{self.dice.between(1, 2)}"
            for number, status in coming.items():
                when += seconds(self.dice.between(4, 9))
                if status in LISTED_BEFORE:
                    note = {"note": self.dice.pick(_OTHER_NOTES)} if status == "other" else {}
                    about = {"team": team, "number": number, "reason": LISTED_BEFORE[status]}
                    self.add("list", when, coach, **about, **note)
                elif self._listed_over(team, number):
                    self.add("list", when, coach, team=team, number=number, reason="over")
            for step, official in enumerate(self.stand[team]):
                when = at - seconds(self.dice.between(300, 380) - 20 * step)
                self.add("at_scale", when, official, team=team)
        reading = self.dice.pick(("10.00", "10.00", "10.00", "10.50", "9.50"))
        when = at - seconds(self.dice.between(120, 200))
        limit = self.world.limit(self.fixture)
        by = self.keepers(self.fixture.visitor)[0]
        self.add("station", when, by, reading=reading, limit=f"{limit}.00")

    def _listed_over(self, team: str, number: int) -> bool:
        """Whether own side put the child on its list as over, as known from an earlier game."""
        known = self.world.was_over.get(self.child(team, number), False)
        return known and self.coming[team][number] in ("here", "equipment", "skips")

    def _weigh_in(self, team: str, statuses: tuple[str, ...], at: datetime) -> datetime:
        for number, status in self.coming[team].items():
            if status == "equipment" and statuses is ON_TIME:
                at += seconds(self.dice.between(8, 12))
                by = self.keepers(team)[0]
                self.add("list", at, by, team=team, number=number, reason="equipment")
            if status in statuses:
                at += seconds(self.dice.between(21, 31))
                self.weigh(team, number, at)
        return at

    def weigh(self, team: str, number: int, at: datetime, kind: str = "weigh") -> None:
        """A child on the scale, and what the weighmasters write down after it."""
        child = self.world.rosters[team][number]
        status = self.coming[team][number]
        by = self.dice.pick(self.keepers(team))
        is_over = self.world.is_over(child, self.fixture)
        value = "over" if is_over else "ok"
        listed_over = self._listed_over(team, number)
        about = {"team": team, "number": number}
        steps: list[Callable[[datetime], None]] = []

        def then(what: str, **columns: object) -> None:
            steps.append(lambda when: self.add(what, when, by, **about, **columns))

        then(kind, value=value)
        if child.id not in self.world.marked:
            then("initial", value=value, initials=initials(by))
        if is_over and not listed_over:
            then("list", reason="over")
        if is_over:
            then("stripe")
        if status in ("arrives", "late", "after_half", "equipment"):
            then("strike_off")
        if listed_over and not is_over:
            then("strike_off", reason="over")
        for index, step in enumerate(steps):
            step(at + seconds(4 * index))
        if self.dice.chance() < 0.012:
            reason = self.dice.pick(_GEAR)
            self.add("concern", at, by, team=team, player=child.id, reason=reason)

    def _close(self, at: datetime) -> None:
        at += seconds(20)
        for team in self.fixture.sides:
            at += seconds(self.dice.between(4, 9))
            self.add("close", at, self.keepers(team)[0], team=team)
        for team in self.fixture.sides:
            for side in self.fixture.sides:
                at += seconds(self.dice.between(9, 16))
                self.add("countersign", at, self.stand[side][0], team=team)

    def _play(self) -> None:
        place = self.fixture.site.split()[0].lower()
        site, head = f"site-{place}", f"head-{self.dice.between(1, 3)}"
        ends = [24, 51, 88, 114]
        times = [self.after(end, more=self.dice.between(0, 170)) for end in ends]
        self._late(times[1])
        for half in (1, 2):
            first, last = times[2 * half - 2 : 2 * half]
            snaps = (self.dice.between(12, 15), self.dice.between(12, 15))
            self.add("snaps", first + seconds(5), site, half=half, count=snaps[0])
            self.add("half", last, head, half=half)
            self.add("snaps", last + seconds(5), site, half=half, count=sum(snaps))
            self._count(half, snaps, (first, last))
        if self.plan.overtime:
            over = (self.plan.overtime,)
            end = times[3] + seconds(700)
            self.add("snaps", end, site, half=3, count=self.plan.overtime)
            self._count(3, over, (end,))

    def _late(self, half_time: datetime) -> None:
        for team, coming in self.coming.items():
            for number, status in coming.items():
                if status == "late":
                    at = self.after(self.dice.between(6, 40), more=self.dice.between(0, 59))
                    self.weigh(team, number, at, "late_weigh")
                elif status == "after_half":
                    at = half_time + seconds(self.dice.between(100, 400))
                    self.weigh(team, number, at, "late_weigh")

    def _count(self, half: int, snaps: tuple[int, ...], ends: tuple[datetime, ...]) -> None:
        for team, coming in self.coming.items():
            if team in self.plan.uncounted:
                continue
            counter = f"{self.fixture.other(team)}-pc{self.dice.between(1, 2)}"
            counts = self._plays(team, coming, half, snaps)
            for part, end in enumerate(ends):
                for index, (number, so_far) in enumerate(counts.items()):
                    at = end + seconds(15 + 3 * index)
                    about = {"team": team, "number": number, "half": half}
                    self.add("plays", at, counter, **about, count=so_far[part])

    def _plays(
        self, team: str, coming: dict[int, str], half: int, snaps: tuple[int, ...]
    ) -> Counts:
        fixed = {
            number: counts[half - 1]
            for (side, number), counts in self.plan.fixed.items()
            if side == team and half < 3
        }
        playing = ALL_GAME if half == 1 else (*ALL_GAME, "late")
        shares = {
            number: 1.5 if status == "late" else _share(self.child(team, number))
            for number, status in coming.items()
            if status in playing
        }
        return count_half(self.dice, snaps, shares, fixed)


def _share(child: str) -> float:
    """How much of the game a child usually gets, beside the others."""
    return 0.75 + 0.6 * Dice("share", child).chance()
