"""Forecast how many snaps a game has left, for the minimum-plays forecast.

A finished half is taken as a negative binomial count. Its mean and variance are those of this
season's finished halves of the same division and half, each drawn toward an assumption with a small
weight (`Assumptions`), and widened because a mean of few halves is itself uncertain. For n halves
of average A and sample variance V, with m0 and s0 the assumed average and spread, and k and f the
numbers of halves that these are worth:

    mean      (k m0 + n A) / (k + n)
    variance  (f s0² + (n - 1) V + (A - m0)² k n / (k + n)) / (f + n), times 1 + 1 / (k + n)

The variance is at least `least_overdispersion` times the mean: never a bare Poisson.

A half under way has had s snaps; left is N - s given N >= s. That is exact for a look after a set
number of snaps. The clock is unknown: if few snaps took long, the forecast is too high. Overtime is
not forecast.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ledger.derive.chances import interval, mean_of, negative_binomial, normalised

LEVEL = 0.8
LARGEST_COUNT = 999


@dataclass(frozen=True)
class Assumptions:
    """Every number that is ours and not the season's. We know of no published figure for any.

    snaps_a_half, snaps_spread: average and standard deviation of a half, before any is known.
    average_weight, spread_weight: the numbers of finished halves that these two are worth.
    least_overdispersion: the least variance of a half, as a multiple of its mean.
    share, share_weight: a player's share of the snaps before any is known, and the number of
        independent snaps that this is worth. 0.5 and 2: every share is equally likely.
    run_correlation: between being in for one snap and for the next, at a given share.
    least_snaps_seen: a present share of fewer snaps is too little for a chance.
    """

    snaps_a_half: float = 30.0
    snaps_spread: float = 8.0
    average_weight: float = 1.0
    spread_weight: float = 3.0
    least_overdispersion: float = 1.1
    share: float = 0.5
    share_weight: float = 2.0
    run_correlation: float = 0.5
    least_snaps_seen: int = 6


ASSUMED = Assumptions()


@dataclass(frozen=True)
class HalfModel:
    """A finished half: variance = mean + dispersion mean²; `halves`: how many it is based on."""

    mean: float
    dispersion: float
    halves: int


@dataclass(frozen=True)
class SnapsLeft:
    """`pmf[i]` is the chance of i more snaps; the expected number; the 80% interval."""

    pmf: tuple[float, ...]
    expected: float
    low: int
    high: int


def fit_half(past: Sequence[int], assumed: Assumptions = ASSUMED) -> HalfModel:
    """Fit to the snaps of finished halves, in any order; without any, return the assumption."""
    n, k, f = len(past), assumed.average_weight, assumed.spread_weight
    average = sum(past) / n if n else assumed.snaps_a_half
    off = average - assumed.snaps_a_half
    mean = (k * assumed.snaps_a_half + n * average) / (k + n)
    squares = math.fsum((count - average) ** 2 for count in past)
    squares += f * assumed.snaps_spread**2 + k * n / (k + n) * off**2
    variance = squares / (f + n) * (1 + 1 / (k + n))
    variance = max(variance, assumed.least_overdispersion * mean)
    return HalfModel(mean, (variance - mean) / mean**2, n)


def left_of_half(half: HalfModel, seen: int) -> list[float]:
    """The pmf of the snaps left in a half after `seen` (0 to 999, the largest count)."""
    pmf = negative_binomial(half.mean, half.dispersion, seen)
    return normalised(pmf[: LARGEST_COUNT + 1 - seen])


def summary_of(pmf: Sequence[float]) -> SnapsLeft:
    """The same distribution with its expected number and interval."""
    low, high = interval(pmf, LEVEL)
    return SnapsLeft(tuple(pmf), mean_of(pmf), low, high)
