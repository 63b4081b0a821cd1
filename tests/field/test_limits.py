"""Limits by a clock of the test's own."""

from __future__ import annotations

import pytest

from ledger.field.answers import Refusal
from ledger.field.limits import MOST_NAMES, Guesses, Limit, network_of


class Clock:
    def __init__(self) -> None:
        self.seconds = 1_000_000.0

    def __call__(self) -> float:
        return self.seconds


def test_the_sixth_waits_until_the_first_is_five_minutes_old() -> None:
    clock = Clock()
    limit = Limit(5, 300, clock)
    for _ in range(5):
        assert limit.begin("a") == 0
        clock.seconds += 10
    assert limit.begin("a") == 250
    assert limit.begin("b") == 0
    clock.seconds += 249.5
    assert limit.begin("a") == 1
    clock.seconds += 0.5
    assert limit.begin("a") == 0
    assert limit.begin("a") == 10


def test_one_that_waits_does_not_lengthen_its_wait() -> None:
    clock = Clock()
    limit = Limit(1, 300, clock)
    limit.begin("a")
    for _ in range(100):
        clock.seconds += 2
        assert limit.begin("a") > 0
    clock.seconds += 100
    assert limit.begin("a") == 0


def test_a_right_try_is_forgiven() -> None:
    limit = Limit(5, 300, Clock())
    for _ in range(50):
        assert limit.begin("a") == 0
        limit.forgive("a")


def test_memory_is_bounded_and_the_busiest_names_stay() -> None:
    limit = Limit(1, 300, Clock())
    limit.begin("busy")
    for number in range(3 * MOST_NAMES):
        limit.begin(number)
        assert limit.begin("busy") > 0
    assert len(limit._tries) <= MOST_NAMES


def test_many_addresses_together_guess_at_one_official_no_faster() -> None:
    guesses = Guesses(Clock())
    for number in range(30):
        guesses.begin("wa", f"192.0.2.{number}")
    with pytest.raises(Refusal) as told:
        guesses.begin("wa", "192.0.2.99")
    assert (told.value.status, told.value.more) == (429, {"seconds": 300})
    guesses.begin("we", "192.0.2.99")


def test_one_address_guesses_at_many_officials_no_faster() -> None:
    guesses = Guesses(Clock())
    for number in range(30):
        guesses.begin(f"official-{number}", "192.0.2.7")
    with pytest.raises(Refusal):
        guesses.begin("another", "192.0.2.7")


def test_a_refused_try_counts_nowhere() -> None:
    guesses = Guesses(Clock())
    for _ in range(5):
        guesses.begin("wa", "192.0.2.7")
    for _ in range(60):
        with pytest.raises(Refusal):
            guesses.begin("wa", "192.0.2.7")
    guesses.begin("wa", "192.0.2.8")


def test_who_waits_for_others_has_all_tries_afterwards() -> None:
    clock = Clock()
    guesses = Guesses(clock)
    for number in range(30):
        guesses.begin("wa", f"192.0.2.{number}")
    clock.seconds += 299
    for _ in range(5):
        with pytest.raises(Refusal):
            guesses.begin("wa", "192.0.2.99")
    clock.seconds += 1
    for _ in range(5):
        guesses.begin("wa", "192.0.2.99")


def test_addresses_of_one_household_are_one() -> None:
    assert network_of("2001:db8::1") == network_of("2001:db8::2:1")
    assert network_of("2001:db8:0:1::1") != network_of("2001:db8:0:2::1")
    assert network_of("::ffff:192.0.2.7") == "192.0.2.7"
    assert (
        network_of("[2001:db8::1]:4711") == network_of("2001:db8::2") == network_of("[2001:db8::3]")
    )


def test_what_is_no_address_shares_one_limit() -> None:
    for text in (
        "testclient",
        "unknown",
        "",
        "192.0.2.7:x",
        "192.0.2.999",
        "_hidden:1",
        "1.2.3.4:5:6",
    ):
        assert network_of(text) == ""
