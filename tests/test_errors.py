"""Counts with their nouns, as error messages use them."""

from ledger.errors import count_of


def test_one_is_one_and_the_rest_are_many() -> None:
    assert [count_of(n, "play") for n in (0, 1, 1_000)] == ["0 plays", "1 play", "1,000 plays"]
    assert [count_of(n, "entry", "entries") for n in (1, 2)] == ["1 entry", "2 entries"]
