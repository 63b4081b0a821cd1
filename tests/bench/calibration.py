"""Is the forecast's chance honest? Reliability and Brier score on simulated seasons.

    python -m tests.bench.calibration [N]      under a minute; the same numbers every time

Per world (`simulated_games`), kind of player and time of season (1 or 24 finished halves known):
the number of forecasts (at least N), the mean chance said, the share that came true, the Brier
score (mean squared difference; lower is better), the Brier score of always saying the share that
came true, and how often the 80 % interval held the snaps left. Below: said/came (number), by chance
in fifths.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from ledger.derive.forecast import forecast_game
from ledger.derive.forecast_rows import MayPlay
from tests.bench.simulated_games import World, season_looks

WORLDS = (
    World("as assumed", alike=None, pace=0.0, drift=0.0),
    World("shares drift"),
    World("shares alike", alike=8.0),
    World("starters and others", alike=0.0),
    World("no runs", runs=0.0),
    World("long runs", runs=0.75),
    World("steady halves", spread=1.0, pace=0.0),
    World("wild halves", spread=3.0, pace=0.25),
    World("looked at by the clock", by_clock=True),
    World("short players sent in", catch_up=0.2),
)
KINDS: tuple[MayPlay, ...] = ("second_half", "full")
TIMES = {"early": 1, "late": 24}
DEFAULT_LEAST = 350
GAMES_A_SEASON = 3
ROWS_A_LOOK = 3
BINS = 5


@dataclass(frozen=True)
class Forecast:
    """A chance, whether it came true, and whether the interval held the snaps left."""

    chance: float
    came_true: bool
    held: bool


def forecasts(world: World, may_play: MayPlay, past: int, least: int) -> list[Forecast]:
    """At least `least` forecasts of short players, of one kind."""
    rng = random.Random(f"{world.name}/{past}")
    found: list[Forecast] = []
    while len(found) < least:
        for look in season_looks(rng, world, past, GAMES_A_SEASON):
            kind = [player for player in look.game.players if player.may_play == may_play]
            kept = [player for player in kind if sum(player.plays or ()) < player.required]
            few = tuple(rng.sample(kept, min(len(kept), ROWS_A_LOOK)))
            for row in forecast_game(replace(look.game, players=few)).players:
                if row.chance is not None and row.still_due is not None:
                    low, high = row.left_low or 0, row.left_high or 0
                    held = low <= look.left[may_play] <= high
                    found.append(Forecast(row.chance, look.got[row.player] >= row.still_due, held))
    return found


def brier(found: Sequence[Forecast]) -> float:
    """Mean squared difference of the chance and what came."""
    return sum((one.chance - one.came_true) ** 2 for one in found) / len(found)


def base_brier(found: Sequence[Forecast]) -> float:
    """The Brier score of always saying the share that came true."""
    rate = observed(found)
    return rate * (1 - rate)


def mean_chance(found: Sequence[Forecast]) -> float:
    """What the forecasts say on average."""
    return sum(one.chance for one in found) / len(found)


def observed(found: Sequence[Forecast]) -> float:
    """The share that came true."""
    return sum(one.came_true for one in found) / len(found)


def held(found: Sequence[Forecast]) -> float:
    """The share of intervals that held the snaps left."""
    return sum(one.held for one in found) / len(found)


def bins(found: Sequence[Forecast], count: int = BINS) -> list[list[Forecast]]:
    """By chance, in steps of 1 / count."""
    parts: list[list[Forecast]] = [[] for _ in range(count)]
    for one in found:
        parts[min(count - 1, int(one.chance * count))].append(one)
    return parts


def table(least: int) -> Iterator[str]:
    """The lines of the printed table: per world its four groups, and said/came (n) by chance."""
    yield f"{'':24}{'':12}{'':8}{'n':>6}{'said':>6}{'came':>6}{'Brier':>7}{'base':>7}{'80 %':>6}"
    for world in WORLDS:
        every: list[Forecast] = []
        for may_play, (time, past) in product(KINDS, TIMES.items()):
            found = forecasts(world, may_play, past, least)
            every += found
            yield (
                f"{world.name:24}{may_play:12}{time:8}{len(found):6}"
                f"{mean_chance(found):6.2f}{observed(found):6.2f}"
                f"{brier(found):7.3f}{base_brier(found):7.3f}{held(found):6.2f}"
            )
        parts = [part for part in bins(every) if part]
        cells = (f"{mean_chance(part):.2f}/{observed(part):.2f} ({len(part)})" for part in parts)
        yield "    " + "   ".join(cells)


if __name__ == "__main__":
    for line in table(int(sys.argv[1]) if len(sys.argv) > 1 else DEFAULT_LEAST):
        print(line)
