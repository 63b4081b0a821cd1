"""The count distributions against published and recomputed values, their limits and their order."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from ledger.derive.chances import (
    beta_binomial_tail,
    interval,
    mean_of,
    negative_binomial,
    run_factor,
    sum_of,
)

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "chances.json").read_text())

means = st.floats(0.5, 80)
dispersions = st.floats(0, 1)
shares = st.floats(0.01, 0.99)
rhos = st.floats(0, 0.95)
SLACK = 1e-11  # rounding only


def tail(pmf: Sequence[float], k: int) -> float:
    """P(X >= k)."""
    return math.fsum(pmf[max(k, 0) :])


def tail_of(name: str, parameters: dict[str, str | int], k: int) -> float:
    p = {key: float(Fraction(value)) for key, value in parameters.items()}
    if name == "binomial":
        return beta_binomial_tail(int(p["n"]), p["p"], 0, k)
    if name == "poisson":
        return tail(negative_binomial(p["mean"], 0), k)
    if name == "negative_binomial":
        return tail(negative_binomial(p["mean"], 1 / p["size"]), k)
    total = p["a"] + p["b"]
    return beta_binomial_tail(int(p["n"]), p["a"] / total, 1 / (total + 1), k)


def beta_binomial_tails(n: int, share: float, rho: float) -> list[float]:
    """P(X >= k) for k in 0 .. n + 1."""
    return [beta_binomial_tail(n, share, rho, k) for k in range(n + 2)]


def tails_of(terms: Sequence[float | Fraction]) -> list[float]:
    """The same of P(X = 0), P(X = 1) and so on."""
    return [float(sum(terms[k:])) for k in range(len(terms) + 1)]


@pytest.mark.parametrize(("name", "parameters", "k", "value"), VECTORS["cases"])
def test_values_computed_elsewhere(
    name: str, parameters: dict[str, str | int], k: int, value: str
) -> None:
    # Source: exact rationals / 40-digit mpmath, agreeing with scipy 1.17.1.
    assert tail_of(name, parameters, k) == pytest.approx(float(value), abs=1e-13)


def test_values_of_printed_tables() -> None:
    # From memory of the standard tables: Poisson 10, P(X <= 9); binomial 20 and 1/2, P(X >= 10).
    assert round(1 - tail(negative_binomial(10, 0), 10), 4) == 0.4579
    assert round(beta_binomial_tail(20, 0.5, 0, 10), 4) == 0.5881


def test_closed_forms() -> None:
    # a = b = 1: every number of successes is as likely as another; the middle of an odd binomial.
    assert beta_binomial_tails(40, 0.5, 1 / 3) == pytest.approx(tails_of([1 / 41] * 41), abs=1e-13)
    assert beta_binomial_tail(2 * 9 + 1, 0.5, 0, 10) == pytest.approx(0.5, abs=1e-14)


def test_negative_binomial_agrees_with_scipy() -> None:
    rng = random.Random(1)
    for _ in range(300):
        mean, size, k = rng.uniform(0.1, 300), rng.uniform(0.3, 200), rng.randint(0, 400)
        expected = stats.nbinom.sf(k - 1, size, size / (size + mean))
        assert tail(negative_binomial(mean, 1 / size), k) == pytest.approx(expected, abs=1e-11)


def test_beta_binomial_agrees_with_scipy() -> None:
    rng = random.Random(2)
    for _ in range(300):
        n, a, b = rng.randint(1, 200), rng.uniform(0.05, 60), rng.uniform(0.05, 60)
        k = rng.randint(0, n)
        expected = stats.betabinom.sf(k - 1, n, a, b)
        found = beta_binomial_tail(n, a / (a + b), 1 / (a + b + 1), k)
        assert found == pytest.approx(expected, abs=1e-9)


def polya(n: int, a: int, b: int, k: int) -> Fraction:
    """P(X = k) of an urn of a and b balls; each one drawn goes back with another of its kind."""
    value = Fraction(math.comb(n, k))
    for i in range(k):
        value *= a + i
    for i in range(n - k):
        value *= b + i
    for i in range(n):
        value /= a + b + i
    return value


@given(st.integers(0, 30), st.integers(1, 9), st.integers(1, 9))
def test_beta_binomial_is_the_urn(n: int, a: int, b: int) -> None:
    expected = tails_of([polya(n, a, b, k) for k in range(n + 1)])
    found = beta_binomial_tails(n, a / (a + b), 1 / (a + b + 1))
    assert found == pytest.approx(expected, abs=1e-12)


@given(means, st.integers(0, 60))
def test_no_dispersion_is_the_poisson(mean: float, k: int) -> None:
    expected = math.exp(k * math.log(mean) - mean - math.lgamma(k + 1))
    exact = [*negative_binomial(mean, 0), *[0.0] * 61]
    nearly = [*negative_binomial(mean, 1e-9), *[0.0] * 61]
    assert exact[k] == pytest.approx(expected, rel=1e-10, abs=1e-15)
    assert nearly[k] == pytest.approx(expected, rel=1e-5, abs=1e-12)


@given(st.integers(1, 60), shares)
def test_no_correlation_is_the_binomial(n: int, share: float) -> None:
    terms = [math.comb(n, k) * share**k * (1 - share) ** (n - k) for k in range(n + 1)]
    assert beta_binomial_tails(n, share, 0) == pytest.approx(tails_of(terms), abs=1e-11)
    assert beta_binomial_tails(n, share, 1e-14) == pytest.approx(tails_of(terms), abs=1e-8)


@given(st.integers(2, 60), shares)
def test_full_correlation_is_all_or_nothing(n: int, share: float) -> None:
    tails = beta_binomial_tails(n, share, 1 - 1e-12)
    assert tails[1:-1] == pytest.approx([share] * n, abs=1e-8)


@given(st.integers(1, 60), shares, st.floats(0.9, 1.1))
def test_a_small_correlation_is_as_right_by_either_way(n: int, share: float, about: float) -> None:
    """Around the bound at which the gamma function replaces the sum of logarithms."""
    theta = Fraction(about / 1000)
    one, other = Fraction(share), 1 - Fraction(share)
    k = (n + 1) // 2
    below = Fraction(0)
    for x in range(k):
        value = Fraction(math.comb(n, x))
        for i in range(n):
            value *= one + i * theta if i < x else other + (i - x) * theta
            value /= 1 + i * theta
        below += value
    found = beta_binomial_tail(n, share, float(theta / (1 + theta)), k)
    assert found == pytest.approx(1 - float(below), abs=1e-11)


@given(means, dispersions, st.integers(0, 60))
def test_the_rest_given_what_was_seen(mean: float, dispersion: float, seen: int) -> None:
    """P(N - s = i | N >= s) is P(N = s + i) / P(N >= s)."""
    whole, rest = negative_binomial(mean, dispersion), negative_binomial(mean, dispersion, seen)
    seen_at_all = tail(whole, seen)
    if seen_at_all > 1e-3:
        for i, p in enumerate(rest[:40]):
            of_whole = whole[seen + i] if seen + i < len(whole) else 0.0
            assert p == pytest.approx(of_whole / seen_at_all, abs=1e-11)


def test_counts_of_a_thousand() -> None:
    """The largest count allowed is 999: no overflow, and no division by an underflow."""
    for mean, dispersion, seen in [(999, 0, 0), (30, 0.01, 999), (999, 2, 0), (0.5, 0, 999)]:
        assert math.fsum(negative_binomial(mean, dispersion, seen)) == pytest.approx(1)
    for share, rho in [(0.5, 0), (0.999, 0), (1e-6, 0), (0.5, 0.9), (0.001, 0.5)]:
        tails = [beta_binomial_tail(2997, share, rho, k) for k in range(0, 2999, 9)]
        assert all(high >= low - SLACK for high, low in pairwise(tails))
        assert tails[0] == 1
        if not rho:
            assert tails[-1] == pytest.approx(share**2997, abs=1e-10)


@given(means, st.floats(0, 3))
def test_mean_and_variance_of_the_negative_binomial(mean: float, dispersion: float) -> None:
    pmf = negative_binomial(mean, dispersion)
    variance = math.fsum((i - mean) ** 2 * p for i, p in enumerate(pmf))
    assert mean_of(pmf) == pytest.approx(mean, rel=1e-9)
    assert variance == pytest.approx(mean + dispersion * mean**2, rel=1e-7)


@given(st.integers(1, 80), shares, rhos)
def test_mean_and_variance_of_the_beta_binomial(n: int, share: float, rho: float) -> None:
    tails = beta_binomial_tails(n, share, rho)
    pmf = [high - low for high, low in pairwise(tails)]
    variance = math.fsum((i - n * share) ** 2 * p for i, p in enumerate(pmf))
    assert mean_of(pmf) == pytest.approx(n * share, abs=1e-8)
    assert variance == pytest.approx(n * share * (1 - share) * (1 + (n - 1) * rho), abs=1e-6)


@given(st.integers(1, 60), shares, shares, rhos, st.integers(0, 60))
def test_a_larger_share_never_makes_it_less_likely(
    n: int, one: float, other: float, rho: float, k: int
) -> None:
    low, high = sorted((one, other))
    less = beta_binomial_tail(n, low, rho, k)
    assert less <= beta_binomial_tail(n, high, rho, k) + SLACK


@given(st.integers(1, 60), shares, rhos, st.integers(0, 60))
def test_more_trials_make_it_likelier_and_more_due_less(
    n: int, share: float, rho: float, k: int
) -> None:
    now = beta_binomial_tail(n, share, rho, k)
    assert now <= beta_binomial_tail(n + 1, share, rho, k) + SLACK
    assert now >= beta_binomial_tail(n, share, rho, k + 1) - SLACK


@given(means, dispersions, st.integers(0, 80), st.integers(0, 40))
def test_the_more_was_seen_the_less_is_left(
    mean: float, dispersion: float, seen: int, k: int
) -> None:
    """For a dispersion up to 1, with which the distribution is log-concave."""
    before = negative_binomial(mean, dispersion, seen)
    after = negative_binomial(mean, dispersion, seen + 1)
    assert tail(after, k) <= tail(before, k) + SLACK


@given(means, dispersions, st.sampled_from([0.5, 0.8, 0.95]))
def test_the_interval_holds_its_level_and_no_more_than_it_must(
    mean: float, dispersion: float, level: float
) -> None:
    pmf = negative_binomial(mean, dispersion)
    low, high = interval(pmf, level)
    outside = (1 - level) / 2
    assert tail(pmf, low) >= 1 - outside - SLACK
    assert tail(pmf, low + 1) < 1 - outside + SLACK
    assert tail(pmf, high + 1) <= outside + SLACK
    assert tail(pmf, high) >= outside - SLACK


def test_interval_of_what_is_certain() -> None:
    assert interval([0.0, 0.0, 1.0], 0.8) == (2, 2)
    assert interval([1.0], 0.8) == (0, 0)


def test_interval_where_the_outside_is_exactly_used_up() -> None:
    assert interval([0.25, 0.5, 0.25], 0.5) == (1, 1)
    assert interval([0.75, 0.25], 0.5) == (0, 0)


def test_sum_of_two_dice() -> None:
    die = [0.0, *[1 / 6] * 6]
    assert [round(36 * p) for p in sum_of(die, die)] == [0, 0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1]


@given(st.integers(1, 80), st.floats(0, 0.95))
def test_run_factor_is_the_sum_of_correlations(n: int, correlation: float) -> None:
    expected = 1 + 2 * math.fsum((1 - j / n) * correlation**j for j in range(1, n))
    assert run_factor(n, correlation) == pytest.approx(expected, rel=1e-9)


def test_run_factor_by_hand() -> None:
    """Of two trials with correlation c, 1 + 2 (1 - 1/2) c; one trial has nothing to run with."""
    assert [run_factor(n, 0.5) for n in (1, 2)] == [1, 1.5]


def test_a_tail_counts_from_the_end_where_the_weight_is() -> None:
    """P(X = 0) is too small for a number here; the other end of the same is not."""
    n, a, b = 20_000, 999, 0.5
    share, rho = a / (a + b), 1 / (a + b + 1)
    # P(X = n) is B(n + a, b) / B(a, b).
    logs = math.lgamma(n + a) + math.lgamma(a + b) - math.lgamma(n + a + b) - math.lgamma(a)
    assert beta_binomial_tail(n, share, rho, n) == pytest.approx(math.exp(logs), rel=1e-6)
    assert beta_binomial_tail(n, 1 - share, rho, 1) == pytest.approx(1 - math.exp(logs), rel=1e-6)
