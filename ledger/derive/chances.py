"""Exact count distributions for the forecast. Standard library only.

Vocabulary: a *pmf* is a list whose entry i is P(X = i); a *tail* is P(X >= k).

- Negative binomial by mean m and dispersion d: variance m + d m². d = 0 is the Poisson.
  (Size r of other texts is 1/d.)
- Beta-binomial by n, share p and correlation rho of two of the n trials: mean n p,
  variance n p (1 - p) (1 + (n - 1) rho). rho = 0 is the binomial. With the usual a and b:
  p = a / (a + b), rho = 1 / (a + b + 1).

Terms are found by their ratio, outward from a large one, so nothing over- or underflows for counts
of a thousand. The negative binomial is divided by its own sum, without a gamma function; the
beta-binomial takes its first term from lgamma, so a tail costs k steps, not n. Both are right to
about 1e-12, also in the limits, which need no special case.

>>> round(math.fsum(negative_binomial(12.0, 1 / 5)[10:]), 12)
0.603413794416
>>> round(beta_binomial_tail(40, 0.5, 1 / 3, 10), 12) == round(31 / 41, 12)
True
"""

from __future__ import annotations

import math
from collections.abc import Sequence

# A term this much smaller than the largest ends an infinite upper tail.
END_OF_TAIL = 1e-16
# Below this, the two gamma functions of a rising product cancel too many digits.
TOO_SMALL_FOR_GAMMA = 1e-3


def negative_binomial(mean: float, dispersion: float, at_least: int = 0) -> list[float]:
    """The pmf of X - at_least given X >= at_least; mean > 0, dispersion >= 0, at_least >= 0.

    With at_least = 0 that is X itself. An unlikely condition costs no accuracy.
    """

    def ratio(x: int) -> float:
        """P(X = x + 1) / P(X = x)."""
        return mean * (1 + dispersion * x) / ((x + 1) * (1 + dispersion * mean))

    start = max(at_least, math.floor(mean * (1 - dispersion)))
    below = [1.0]
    for x in range(start - 1, at_least - 1, -1):
        below.append(below[-1] / ratio(x))
    above: list[float] = []
    x, weight = start, ratio(start)
    while weight > END_OF_TAIL:
        above.append(weight)
        x += 1
        weight *= ratio(x)
    return normalised(below[::-1] + above)


def beta_binomial_tail(n: int, share: float, rho: float, k: int) -> float:
    """P(X >= k) for the successes X of n trials; n >= 0, 0 < share < 1, 0 <= rho < 1."""
    if k <= 0 or k > n:
        return 1.0 if k <= 0 else 0.0
    theta, rest = rho / (1 - rho), 1 - share

    def ratio(x: int) -> float:
        """P(X = x + 1) / P(X = x)."""
        return (n - x) * (share + x * theta) / ((x + 1) * (rest + (n - x - 1) * theta))

    if theta < min(share, rest):
        mode = math.floor((n + 1) * (share - theta) / (1 - 2 * theta))
    else:
        mode = n if share > rest else 0
    start = min(mode, k - 1)
    weights = [1.0]
    for x in range(start - 1, -1, -1):
        weights.append(weights[-1] / ratio(x))
    weight = 1.0
    for x in range(start, k - 1):
        weight *= ratio(x)
        weights.append(weight)
    below = math.exp(_log_beta_binomial(n, share, theta, start)) * math.fsum(weights)
    return min(1.0, max(0.0, 1 - below))


def _log_beta_binomial(n: int, share: float, theta: float, x: int) -> float:
    """log P(X = x) as an urn gives it, theta = 1 / (a + b)."""
    ways = math.lgamma(n + 1) - math.lgamma(x + 1) - math.lgamma(n - x + 1)
    taken = _log_rising(share, theta, x) + _log_rising(1 - share, theta, n - x)
    return ways + taken - _log_rising(1.0, theta, n)


def _log_rising(first: float, theta: float, n: int) -> float:
    """The sum of log(first + i theta) for i in 0 .. n - 1."""
    if theta < TOO_SMALL_FOR_GAMMA:
        return math.fsum(math.log(first + i * theta) for i in range(n))
    start = first / theta
    return n * math.log(theta) + math.lgamma(start + n) - math.lgamma(start)


def normalised(weights: Sequence[float]) -> list[float]:
    """The pmf in proportion to weights, at least one of them over 0."""
    total = math.fsum(weights)
    return [weight / total for weight in weights]


def mean_of(pmf: Sequence[float]) -> float:
    """E X."""
    return math.fsum(i * p for i, p in enumerate(pmf))


def interval(pmf: Sequence[float], level: float) -> tuple[int, int]:
    """(low, high) with at most (1 - level) / 2 below low and above high; 0 < level < 1."""
    outside = (1 - level) / 2
    low = high = 0
    total = 0.0
    for i, p in enumerate(pmf):
        if total <= outside:
            low = i
        total += p
        high = i
        if total >= 1 - outside:
            break
    return low, high


def sum_of(first: Sequence[float], second: Sequence[float]) -> list[float]:
    """The pmf of the sum of two independent counts."""
    total = [0.0] * (len(first) + len(second) - 1)
    for i, p in enumerate(first):
        for j, q in enumerate(second, start=i):
            total[j] += p * q
    return total


def run_factor(n: int, correlation: float) -> float:
    """The factor by which runs widen the variance of successes in n trials; n >= 1, 0 <= c < 1.

    For a stationary two-state chain, in which trials j apart have correlation c ** j:
    1 + 2 * sum((1 - j / n) * c ** j for j in 1 .. n - 1), here in closed form (textbook algebra).
    """
    gap = 1 - correlation
    far = (1 + correlation) / gap
    return far - 2 * correlation * (1 - correlation**n) / (n * gap * gap)
