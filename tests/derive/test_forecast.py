"""The forecast of the minimum-plays rule: what counts, when it is silent, and that it is honest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.derive.forecast import GameNow, PlayerNow, chance_at_share, forecast_game
from ledger.derive.forecast_rows import GameForecast, MayPlay, PlayerForecast, percent
from ledger.derive.snaps_left import ASSUMED, Assumptions, fit_half, left_of_half
from tests.bench.calibration import WORLDS, base_brier, brier, forecasts, mean_chance, observed
from tests.bench.simulated_games import World

PAST = {1: (30, 34, 27, 31, 29), 2: (28, 33, 30, 36, 26)}
NO_RUNS = Assumptions(run_correlation=0.0)


def player(
    number: int = 7,
    plays: tuple[int, int, int] | None = (3, 1, 0),
    may_play: MayPlay = "full",
    required: int = 10,
    missed: int = 0,
) -> PlayerNow:
    return PlayerNow("t1", f"p{number}", number, may_play, required, plays, missed)


def half_two(
    *players: PlayerNow, run: int | None = 12, past: dict[int, tuple[int, ...]] | None = None
) -> GameForecast:
    """A game whose first half had 31 snaps and whose second has had `run`."""
    known = PAST if past is None else past
    return forecast_game(GameNow((31, run, None), frozenset({1}), known, players))


def only(forecast: GameForecast) -> PlayerForecast:
    (row,) = forecast.players
    return row


def exactly(snaps: int) -> list[float]:
    return [*[0.0] * snaps, 1.0]


# What is counted


def test_a_row_says_what_is_due_left_and_needed() -> None:
    row = only(half_two(player(plays=(3, 1, 0))))
    assert (row.still_due, row.plays_seen, row.snaps_seen) == (6, 4, 43)
    assert row.present_share == 4 / 43
    assert row.expected_left is not None
    assert 15 < row.expected_left < 22
    assert row.left_low is not None
    assert row.left_high is not None
    assert row.left_low < row.expected_left < row.left_high
    assert row.share_needed == 6 / row.expected_left
    assert row.chance is not None
    assert 0 < row.chance < 0.2
    assert row.reason == ""


def test_a_second_half_player_counts_the_second_half_alone() -> None:
    row = only(half_two(player(plays=(9, 4, 0), may_play="second_half")))
    assert (row.still_due, row.plays_seen, row.snaps_seen) == (6, 4, 12)


def test_in_the_first_half_a_second_half_player_has_less_left() -> None:
    players = (player(1, (2, 0, 0)), player(2, (0, 0, 0), "second_half"))
    late, full = forecast_game(GameNow((10, None, None), frozenset(), PAST, players)).players
    assert (late.player, full.player) == ("p2", "p1")
    assert late.expected_left == pytest.approx(fit_half(PAST[2]).mean)
    assert full.expected_left is not None
    assert full.expected_left > (late.expected_left or 0) + 15
    assert late.chance is None
    assert late.share_needed is not None


def test_who_has_the_plays_is_left_out() -> None:
    assert half_two(player(plays=(6, 4, 0))).players == ()
    assert half_two(player(plays=(6, 4, 0), required=11)).players != ()


def test_snaps_run_before_a_player_could_play_do_not_count_against_the_share() -> None:
    row = only(half_two(player(plays=(1, 4, 0), missed=25)))
    assert (row.plays_seen, row.snaps_seen) == (5, 18)


def test_a_half_without_stated_snaps_is_no_part_of_the_share_but_of_what_is_due() -> None:
    game = GameNow((None, 12, None), frozenset({1}), PAST, (player(plays=(3, 4, 0)),))
    row = only(forecast_game(game))
    assert (row.still_due, row.plays_seen, row.snaps_seen) == (3, 4, 12)


def test_a_play_counted_is_a_snap_run() -> None:
    forecast = half_two(player(1, (0, 3, 0)), player(2, (9, 20, 0)), run=12)
    assert only(forecast).snaps_seen == 31 + 20
    assert "least number of snaps" in forecast.method[-1]


def test_plays_of_the_second_half_show_that_the_first_has_ended() -> None:
    stated = GameNow((31, 12, None), frozenset({1}), PAST, (player(),))
    unstated = GameNow((31, 12, None), frozenset(), PAST, (player(),))
    assert forecast_game(stated) == forecast_game(unstated)


# Order


def test_late_players_first_then_the_lowest_chance_then_the_unknown() -> None:
    forecast = half_two(
        player(1, (5, 3, 0)),
        player(2, None),
        player(3, (1, 0, 0)),
        player(4, (0, 9, 0), "second_half"),
        player(5, (0, 1, 0), "second_half"),
    )
    assert [row.number for row in forecast.players] == [5, 4, 3, 1, 2]


# Silence, with its reason


def test_no_plays_line_of_the_team() -> None:
    row = only(half_two(player(plays=None)))
    assert (row.still_due, row.share_needed, row.chance) == (None, None, None)
    assert row.expected_left is not None
    assert row.reason == "No plays are counted for this team in this game."


def test_too_few_snaps_for_a_share() -> None:
    row = only(half_two(player(plays=(0, 2, 0), may_play="second_half"), run=5))
    assert row.chance is None
    assert row.share_needed is not None
    assert row.reason == "No chance is given: 5 snaps so far that this player could play, 6 needed."
    row = only(half_two(player(plays=(0, 2, 0), may_play="second_half"), run=6))
    assert row.chance is not None


def test_a_late_player_at_half_time() -> None:
    forecast = half_two(player(plays=(0, 0, 0), may_play="second_half"), run=None)
    row = only(forecast)
    assert row.chance is None
    assert row.share_needed == pytest.approx(10 / fit_half(PAST[2]).mean)
    assert row.reason.startswith("No chance is given until 6 snaps")
    assert forecast.method[-1].endswith("assumes it has not begun.")


@pytest.mark.parametrize(
    ("snaps", "ended", "past", "plays", "reason"),
    [
        ((None, None, None), {}, PAST, (0, 0, 0), "No snaps are entered for this game, and"),
        ((None, None, None), {}, PAST, (2, 0, 0), "Plays are counted for the first half, but"),
        ((31, None, None), {1}, PAST, (2, 1, 0), "Plays are counted for the second half, but"),
        ((None, None, None), {1}, {}, (2, 0, 0), "No snaps are entered for this game or"),
        ((31, 30, 4), {1, 2}, PAST, (2, 1, 0), "Overtime is under way"),
        ((31, 30, None), {1, 2}, PAST, (2, 1, 1), "Overtime is under way"),
    ],
)
def test_snaps_left_that_would_be_a_guess(
    snaps: tuple[int | None, int | None, int | None],
    ended: set[int],
    past: dict[int, Sequence[int]],
    plays: tuple[int, int, int],
    reason: str,
) -> None:
    game = GameNow(snaps, frozenset(ended), past, (player(plays=plays),))
    row = only(forecast_game(game))
    assert (row.expected_left, row.share_needed, row.chance) == (None, None, None)
    assert row.reason.startswith(reason)
    assert row.still_due == 10 - sum(plays)


def test_a_game_that_has_ended_is_not_forecast() -> None:
    game = GameNow((31, 30, None), frozenset({1, 2}), PAST, (player(),))
    row = only(forecast_game(game))
    assert (row.expected_left, row.left_low, row.left_high) == (0, 0, 0)
    assert (row.share_needed, row.chance) == (None, None)
    assert row.words == (
        "#7. Still due: 6 of 10 plays. The second half has ended; overtime is not forecast."
    )


def test_an_early_season_says_what_it_assumes() -> None:
    forecast = half_two(player(), past={})
    assert only(forecast).chance is not None
    assert "our assumption, not a published figure" in forecast.method[2]
    assert "from 5 finished" in half_two(player()).method[2]


# Words


def test_words() -> None:
    row = PlayerForecast(
        "t1", "p7", 7, "second_half", 10, 6, 18.4, 11, 26, 6 / 18.4, 4, 12, 0.5, ""
    )
    assert row.words == (
        "#7, second half only. Still due: 6 of 10 plays."
        " Snaps left: about 18 (8 times in 10: 11 to 26). Share needed: 33%."
        " In on 4 of 12 snaps so far (33%). Chance of getting the plays due at that share: 50%."
    )
    row = PlayerForecast("t1", "p7", None, "full", 10, 6, 0.4, 0, 1, 15.0, 4, 60, 1e-6, "")
    assert row.words == (
        "Player p7. Still due: 6 of 10 plays. Snaps left: less than 1"
        " (8 times in 10: 0 to 1). More plays are due than that. In on 4 of 60 snaps so far (7%)."
        " Chance of getting the plays due at that share: under 1%."
    )


def test_percent_never_says_certain_for_nearly() -> None:
    assert [percent(share) for share in (0, 0.004, 0.37, 0.996, 1)] == [
        "0%", "under 1%", "37%", "over 99%", "100%",
    ]  # fmt: skip


# Snaps of a half


def test_without_a_finished_half_the_assumption_stands_and_is_wide() -> None:
    half = fit_half(())
    spread = math.sqrt(half.mean + half.dispersion * half.mean**2)
    assert half.mean == ASSUMED.snaps_a_half
    assert spread == pytest.approx(ASSUMED.snaps_spread * math.sqrt(2))


def test_many_finished_halves_outweigh_the_assumption() -> None:
    half = fit_half((15, 25) * 200)
    assert half.mean == pytest.approx(20, abs=0.05)
    assert half.mean + half.dispersion * half.mean**2 == pytest.approx(25, rel=0.05)


def test_a_half_is_never_narrower_than_stated() -> None:
    half = fit_half((30,) * 400)
    assert half.mean + half.dispersion * half.mean**2 == pytest.approx(1.1 * 30)


@given(st.lists(st.integers(0, 999), max_size=12).flatmap(
    lambda counts: st.tuples(st.just(counts), st.permutations(counts))
))  # fmt: skip
def test_the_order_of_finished_halves_does_not_matter(pair: tuple[list[int], list[int]]) -> None:
    one, other = fit_half(pair[0]), fit_half(pair[1])
    assert one.mean == other.mean
    assert one.dispersion == pytest.approx(other.dispersion)
    assert one.mean > 0
    assert math.fsum(left_of_half(one, 0)) == pytest.approx(1)


# The chance


def urn(n: int, a: int, b: int, k: int) -> Fraction:
    """P(X = k) in n draws from a and b balls; each one goes back with another of its kind."""
    value = Fraction(math.comb(n, k))
    for i in range(n):
        value /= a + b + i
        value *= a + i if i < k else b + i - k
    return value


def test_without_runs_the_chance_is_the_urn() -> None:
    """3 of 8 snaps and a uniform share: an urn of 1 + 3 and 1 + 5. Source: exact rationals."""
    expected = sum(urn(20, 4, 6, k) for k in range(5, 21))
    assert chance_at_share(5, exactly(20), 3, 8, NO_RUNS) == pytest.approx(float(expected))


def test_the_chance_is_weighed_over_the_snaps_left() -> None:
    left = [0.5 * p for p in exactly(20)]
    left[9] = 0.5
    parts = [chance_at_share(4, exactly(snaps), 3, 8) for snaps in (9, 20)]
    assert chance_at_share(4, left, 3, 8) == pytest.approx(sum(parts) / 2)


def test_fewer_snaps_left_than_due_is_no_chance() -> None:
    assert chance_at_share(6, exactly(5), 8, 8) == 0


def test_runs_make_what_is_unlikely_likelier_and_what_is_likely_less_so() -> None:
    for plays, more in ((2, True), (26, False)):
        runs, none = (chance_at_share(10, exactly(20), plays, 30, a) for a in (ASSUMED, NO_RUNS))
        assert (runs > none) is more


snaps_seen = st.integers(6, 60)
correlations = st.floats(0, 0.8)


@given(st.integers(1, 12), st.integers(0, 60), st.data(), correlations)
def test_more_due_is_never_likelier_and_more_played_never_less(
    due: int, left: int, data: st.DataObject, runs: float
) -> None:
    assumed = Assumptions(run_correlation=runs)
    snaps = data.draw(snaps_seen)
    plays = data.draw(st.integers(0, snaps - 1))
    chance = chance_at_share(due, exactly(left), plays, snaps, assumed)
    assert 0 <= chance <= 1
    assert chance_at_share(due + 1, exactly(left), plays, snaps, assumed) <= chance + 1e-10
    assert chance_at_share(due, exactly(left), plays + 1, snaps, assumed) >= chance - 1e-10


@given(st.integers(1, 12), st.integers(0, 60), st.data(), correlations)
def test_more_left_is_never_less_likely(
    due: int, left: int, data: st.DataObject, runs: float
) -> None:
    """Even though the correlation of two snaps falls with more snaps left."""
    assumed = Assumptions(run_correlation=runs)
    snaps = data.draw(snaps_seen)
    plays = data.draw(st.integers(0, snaps))
    fewer = chance_at_share(due, exactly(left), plays, snaps, assumed)
    assert chance_at_share(due, exactly(left + 1), plays, snaps, assumed) >= fewer - 1e-10


@given(st.integers(6, 40))
def test_a_snap_sat_out_never_helps(run: int) -> None:
    now, then = (only(half_two(player(plays=(0, 2, 0)), run=count)) for count in (run, run + 1))
    assert now.chance is not None
    assert then.chance is not None
    assert then.chance < now.chance


def test_a_mistyped_half_widens_the_forecast_and_breaks_nothing() -> None:
    """300 for 30: the largest count is 999, so the sums stay small."""
    right, wrong = (half_two(player(), past={2: (30, 30, 30, last)}) for last in (30, 300))
    low, high = only(wrong).left_low, only(wrong).left_high
    assert low is not None
    assert high is not None
    assert low <= (only(right).expected_left or 0) <= high
    assert len(left_of_half(fit_half((30, 30, 30, 300)), 12)) == 988


@settings(deadline=None)  # two halves of wild counts
@given(
    st.tuples(*[st.none() | st.integers(0, 999)] * 3),
    st.frozensets(st.sampled_from([1, 2])),
    st.lists(st.integers(0, 999), max_size=3),
    st.tuples(*[st.integers(0, 30)] * 3),
    st.sampled_from(["full", "second_half"]),
    st.integers(0, 999),
)
def test_whatever_is_stated_there_is_a_chance_or_a_reason(
    snaps: tuple[int | None, int | None, int | None],
    ended: frozenset[int],
    past: list[int],
    plays: tuple[int, int, int],
    may_play: MayPlay,
    missed: int,
) -> None:
    who = player(plays=plays, may_play=may_play, required=12, missed=missed)
    for row in forecast_game(GameNow(snaps, ended, {1: past, 2: past}, (who,))).players:
        assert (row.chance is None) == bool(row.reason)
        assert row.chance is None or 0 <= row.chance <= 1
        assert row.words


# Honesty: simulated seasons, seeded; the whole table is `python -m tests.bench.calibration`.


@pytest.mark.parametrize("world", WORLDS[:2], ids=lambda world: world.name)
@pytest.mark.parametrize("may_play", ["full", "second_half"])
def test_the_chance_is_calibrated_and_beats_the_base_rate(world: World, may_play: MayPlay) -> None:
    found = forecasts(world, may_play, past=24, least=300)
    assert mean_chance(found) == pytest.approx(observed(found), abs=0.08)
    assert brier(found) < 0.75 * base_brier(found)
