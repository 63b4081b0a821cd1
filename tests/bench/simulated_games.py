"""Invented seasons to try the forecast on. Seeded; nothing here is taken from real games.

A `World` says how its games differ from what the forecast assumes. A look is one moment of one
game: what is stated then, and what came of it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass

from ledger.derive.forecast import GameNow, MayPlay, PlayerNow

REQUIRED = 10
STATED_EVERY = 4
LAST_STATED = 44
LATE_PLAYERS = 0.15
STARTER, SUBSTITUTE = 0.85, 0.2


@dataclass(frozen=True)
class World:
    """alike: how alike the players' shares are: a + b of a beta distribution with mean 11 over the
        squad; 0: starters and substitutes; None: any share is as likely as another.
    runs: correlation of a player's neighbouring snaps.
    spread: variance of a half over its mean. pace: standard deviation of a game's log pace.
    drift: that of a player's log odds from the first half to the second.
    catch_up: share of the snaps otherwise sat out that a short player gets after the look.
    by_clock: looked at by the clock, not after a set number of snaps.
    """

    name: str
    alike: float | None = 3.0
    runs: float = 0.5
    spread: float = 1.5
    pace: float = 0.1
    drift: float = 0.4
    catch_up: float = 0.0
    by_clock: bool = False


@dataclass(frozen=True)
class Look:
    """`got`: plays in the snaps that were left, by player id; `left`: snaps left, by may_play."""

    game: GameNow
    got: dict[str, int]
    left: dict[MayPlay, int]


def season_looks(rng: random.Random, world: World, past: int, games: int) -> Iterator[Look]:
    """Looks at `games` games of one season that has `past` finished halves of either kind."""
    mean = rng.uniform(22, 40)
    known = {
        half: [_snaps(rng, world, mean, _pace(rng, world)) for _ in range(past)] for half in (1, 2)
    }
    for _ in range(games):
        pace = _pace(rng, world)
        total = (_snaps(rng, world, mean, pace), _snaps(rng, world, mean, pace))
        half = rng.choice((1, 2))
        if world.by_clock:
            run = rng.randint(0, total[half - 1])
        else:
            run = rng.randrange(0, LAST_STATED + 1, STATED_EVERY)
        if run <= total[half - 1]:
            yield _look(rng, world, total, half, run, known)


def _look(
    rng: random.Random,
    world: World,
    total: tuple[int, int],
    half: int,
    run: int,
    known: dict[int, list[int]],
) -> Look:
    players: list[PlayerNow] = []
    got: dict[str, int] = {}
    squad = rng.randint(14, 28)
    for index in range(squad):
        late = rng.random() < LATE_PLAYERS
        share = _share(rng, world, squad)
        first = [] if late else _plays(rng, world, share, total[0])
        second = _plays(rng, world, _drifted(rng, world, share), total[1])
        before = (sum(first), sum(second[:run])) if half == 2 else (sum(first[:run]), 0)
        rest = second[run:] if half == 2 else first[run:] + second
        if sum(before) < REQUIRED:
            rest = [play or rng.random() < world.catch_up for play in rest]
        name = f"p{index}"
        got[name] = sum(rest)
        may_play: MayPlay = "second_half" if late else "full"
        players.append(PlayerNow("t1", name, index, may_play, REQUIRED, (*before, 0)))
    snaps = (total[0], run, None) if half == 2 else (run, None, None)
    ended = frozenset({1}) if half == 2 else frozenset[int]()
    after = total[half - 1] - run
    left: dict[MayPlay, int] = (
        {"full": after, "second_half": after}
        if half == 2
        else {"full": after + total[1], "second_half": total[1]}
    )
    return Look(GameNow(snaps, ended, known, tuple(players)), got, left)


def _pace(rng: random.Random, world: World) -> float:
    return math.exp(rng.gauss(0, world.pace))


def _snaps(rng: random.Random, world: World, mean: float, pace: float) -> int:
    """A gamma mixture of Poisson counts; a plain Poisson where the spread is 1."""
    rate = mean * pace
    if world.spread > 1:
        scale = world.spread - 1
        rate = rng.gammavariate(rate / scale, scale)
    count, time = 0, rng.expovariate(1)
    while time < rate:
        count, time = count + 1, time + rng.expovariate(1)
    return max(1, count)


def _share(rng: random.Random, world: World, squad: int) -> float:
    if world.alike is None:
        return rng.uniform(0.01, 0.99)
    mean = 11 / squad
    if world.alike:
        return rng.betavariate(world.alike * mean, world.alike * (1 - mean))
    return STARTER if rng.random() < (mean - SUBSTITUTE) / (STARTER - SUBSTITUTE) else SUBSTITUTE


def _drifted(rng: random.Random, world: World, share: float) -> float:
    odds = math.log(share / (1 - share)) + rng.gauss(0, world.drift)
    return 1 / (1 + math.exp(-odds))


def _plays(rng: random.Random, world: World, share: float, snaps: int) -> list[bool]:
    """In or not at each snap: a stationary two-state chain."""
    now = rng.random() < share
    plays = []
    for _ in range(snaps):
        plays.append(now)
        if rng.random() >= world.runs:
            now = rng.random() < share
    return plays
