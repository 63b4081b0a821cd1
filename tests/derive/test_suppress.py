"""Small numbers of children: print says no more about them than "fewer than 5".

Two readers are tried on every table. One knows the program: of all worlds, those that are
printed just so are put side by side. The other adds up and takes away, in larger tables: every
value is tried for which the rest can be filled in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.derive.suppress import FEWER_WORDS, LEAST, WITHHELD_WORDS, hide_small

SMALL = set(range(1, LEAST))
Table = dict[str, int | str]


def tree_of(sizes: tuple[int, ...]) -> tuple[list[str], dict[str, str]]:
    """A league of associations with these numbers of teams: the teams, and what each belongs to."""
    parents = {f"a{group}": "league" for group in range(len(sizes))}
    teams = [f"a{group}t{n}" for group, size in enumerate(sizes) for n in range(size)]
    return teams, parents | {team: team.partition("t")[0] for team in teams}


def whole(world: dict[str, int], parents: dict[str, str]) -> dict[str, int]:
    """The world with its totals."""
    full = dict(world)
    for group in {above for above in parents.values() if above != "league"}:
        full[group] = sum(count for team, count in world.items() if parents[team] == group)
    return full | {"league": sum(world.values())}


def fits(shown: Table, full: dict[str, int]) -> bool:
    """Whether this world could be the printed one."""
    for key, text in shown.items():
        if (isinstance(text, int) and full[key] != text) or (
            text == FEWER_WORDS and full[key] not in SMALL
        ):
            return False
    return True


@pytest.mark.parametrize(
    ("sizes", "most"),
    [((2,), 30), ((1, 1), 30), ((3,), 14), ((2, 1), 14), ((1, 1, 1), 14), ((2, 2), 10), ((4,), 10)],
)
def test_a_reader_who_knows_the_program_learns_no_small_number(
    sizes: tuple[int, ...], most: int
) -> None:
    teams, parents = tree_of(sizes)
    printed: dict[tuple[int | str, ...], list[dict[str, int]]] = defaultdict(list)
    for counts in product(range(most + 1), repeat=len(teams)):
        world = dict(zip(teams, counts, strict=True))
        # A league's total over `most` may come of a world that is not tried.
        if sum(counts) <= most:
            shown = hide_small(world, parents)
            full = whole(world, parents)
            assert fits(shown, full)
            printed[tuple(shown[key] for key in full)].append(full)
    for worlds in printed.values():
        for key in worlds[0]:
            values = {world[key] for world in worlds}
            assert len(values) > 1 or not values & SMALL, (key, worlds)


GROUPS = st.lists(st.lists(st.integers(0, 9), min_size=1, max_size=4), min_size=1, max_size=3)


@given(GROUPS)
def test_a_reader_who_adds_up_learns_no_more_than_the_words(groups: list[list[int]]) -> None:
    teams, parents = tree_of(tuple(map(len, groups)))
    world = dict(zip(teams, [count for group in groups for count in group], strict=True))
    shown = hide_small(world, parents)
    for team, count in world.items():
        if count in SMALL:
            possible = values_of(team, shown, parents)
            assert count in possible
            assert possible >= SMALL


MOST = 150
"""More than any total here; numbers that are not shown are tried up to it."""


def mask(text: int | str) -> int:
    """What a printed number may be, bit n for the number n."""
    if isinstance(text, int):
        return 1 << text
    numbers = range(1, LEAST) if text == FEWER_WORDS else range(MOST)
    return sum(1 << number for number in numbers)


def sums(masks: Iterable[int]) -> int:
    """The possible sums of numbers with these possible values."""
    total = 1
    for each in masks:
        total = sum_of_two(total, each)
    return total


def sum_of_two(one: int, other: int) -> int:
    both = 0
    for number in range(MOST):
        if other >> number & 1:
            both |= one << number
    return both & ((1 << MOST) - 1)


def values_of(team: str, shown: Table, parents: dict[str, str]) -> set[int]:
    """Every value of the team with which the rest can be filled in."""

    def total(group: str, without: str = "") -> int:
        return sums(
            mask(shown[key]) for key, above in parents.items() if above == group and key != without
        )

    own = parents[team]
    groups = [key for key, above in parents.items() if above == "league" and key != own]
    elsewhere = sums(total(group) & mask(shown[group]) for group in groups)
    others = total(own, without=team)
    return {
        value
        for value in range(LEAST * 3)
        if mask(shown[team]) >> value & 1
        and sum_of_two((others << value) & mask(shown[own]), elsewhere) & mask(shown["league"])
    }


@given(st.lists(st.lists(st.integers(0, 30), min_size=1, max_size=6), min_size=1, max_size=5))
def test_every_number_that_is_printed_is_true(groups: list[list[int]]) -> None:
    teams, parents = tree_of(tuple(map(len, groups)))
    world = dict(zip(teams, [count for group in groups for count in group], strict=True))
    shown = hide_small(world, parents)
    full = whole(world, parents)
    assert shown.keys() == full.keys()
    assert fits(shown, full)
    assert not any(text in SMALL for text in shown.values())


@given(st.lists(st.lists(st.integers(0, 30), min_size=1, max_size=6), min_size=1, max_size=5))
def test_the_last_total_is_always_said(groups: list[list[int]]) -> None:
    teams, parents = tree_of(tuple(map(len, groups)))
    counts = [count for group in groups for count in group]
    shown = hide_small(dict(zip(teams, counts, strict=True)), parents)
    total = sum(counts)
    assert shown["league"] == (FEWER_WORDS if total in SMALL else total)


@pytest.mark.parametrize(
    ("counts", "printed"),
    [
        ({"a0t0": 9, "a0t1": 8}, {"a0t0": 9, "a0t1": 8, "league": 17}),
        ({"a0t0": 0, "a0t1": 3}, {"a0t0": 0, "a0t1": FEWER_WORDS, "league": FEWER_WORDS}),
        ({"a0t0": 3, "a0t1": 20}, {"a0t0": FEWER_WORDS, "a0t1": WITHHELD_WORDS, "league": 23}),
        ({"a0t0": 1, "a0t1": 5}, {"a0t0": WITHHELD_WORDS, "a0t1": WITHHELD_WORDS, "league": 6}),
    ],
)
def test_examples(counts: dict[str, int], printed: Table) -> None:
    _, parents = tree_of((2,))
    shown = hide_small(counts, parents)
    assert {key: shown[key] for key in printed} == printed
