"""Small counts of children: what a reader of the published table can and cannot work out.

The attacker is written out here and shares no code with the tables' maker: it tries every table
that agrees with what is published. The method is common practice of official statistics (from
memory); the limit of 5 is the paper's own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.papers.suppress import Kept, Sum, Table, format_count, possible, suppress

FLAT = [Sum("T", ("a", "b", "c"))]
TREE = [Sum("A", ("a", "b")), Sum("B", ("c", "d")), Sum("T", ("A", "B"))]
CROSSED = [Sum("T", ("a", "b")), Sum("T", ("x", "y"))]
"""Two ways to take one total apart, as by week and by rule."""


def counted(leaves: Mapping[str, int], sums: Sequence[Sum]) -> dict[str, int]:
    counts = dict(leaves)
    for one in sums:
        counts[one.total] = sum(counts[part] for part in one.parts)
    return counts


def tables(sums: Sequence[Sum], most: int) -> Iterator[dict[str, int]]:
    """Every table with leaves up to `most` whose sums agree with each other."""
    totals = {one.total for one in sums}
    leaves = sorted({part for one in sums for part in one.parts} - totals)
    for values in product(range(most + 1), repeat=len(leaves)):
        counts = counted(dict(zip(leaves, values, strict=True)), sums)
        if all(counts[one.total] == sum(counts[part] for part in one.parts) for one in sums):
            yield counts


def agrees(counts: Mapping[str, int], table: Table) -> bool:
    return all(
        0 < counts[cell] < 5 if shown is Kept.FEW else shown is Kept.HIDDEN or counts[cell] == shown
        for cell, shown in table.items()
    )


def test_what_is_shown_is_true_and_what_is_small_is_not_shown() -> None:
    table = suppress(counted({"a": 0, "b": 5, "c": 17}, FLAT), FLAT)
    assert table == {"a": 0, "b": 5, "c": 17, "T": 22}
    table = suppress(counted({"a": 4, "b": 1, "c": 0}, FLAT), FLAT)
    assert (table["a"], table["b"], table["c"]) == (Kept.FEW, Kept.FEW, 0)


def test_a_total_does_not_give_its_only_small_part_away() -> None:
    table = suppress(counted({"a": 3, "b": 12, "c": 9}, FLAT), FLAT)
    assert table == {"a": Kept.FEW, "b": Kept.HIDDEN, "c": 9, "T": 24}


@pytest.mark.parametrize("small", [1, 4])
def test_neither_does_a_total_at_the_edge_of_what_is_possible(small: int) -> None:
    """Two parts of 1 to 4 that make 2 are 1 and 1; that make 8, 4 and 4."""
    table = suppress(counted({"a": small, "b": small, "c": 0}, FLAT), FLAT)
    assert table["T"] is not small * 2
    assert isinstance(table["T"], Kept)


def test_four_small_parts_of_a_small_total_are_not_even_said_to_be_small() -> None:
    """Said to be below 5 each, they could only be 1 each."""
    leaves = {"a": 1, "b": 1, "c": 1, "d": 1}
    sums = [Sum("T", tuple(leaves))]
    table = suppress(counted(leaves, sums), sums)
    assert Kept.HIDDEN in table.values()


def test_an_only_part_is_its_total() -> None:
    sums = [Sum("A", ("a",)), Sum("T", ("A", "B"))]
    table = suppress(counted({"a": 2, "B": 30}, sums), sums)
    assert table == {"a": Kept.FEW, "A": Kept.FEW, "B": Kept.HIDDEN, "T": 32}


def test_words() -> None:
    assert [format_count(one) for one in (0, 1234, Kept.FEW, Kept.HIDDEN)] == [
        "0", "1,234", "fewer than 5", "not shown",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "sums",
    [
        [Sum("A", ("a", "b")), Sum("B", ("a", "c"))],
        [Sum("A", ("B",)), Sum("B", ("A",))],
    ],
    ids=["a part of two", "a part of itself"],
)
def test_sums_are_trees(sums: list[Sum]) -> None:
    with pytest.raises(ValueError, match="a part of"):
        suppress(dict.fromkeys("abcAB", 0), sums)


def test_sums_add_up() -> None:
    with pytest.raises(ValueError, match="T is not what its parts add up to"):
        suppress({"a": 1, "b": 2, "c": 3, "T": 7}, FLAT)


@settings(max_examples=100, deadline=None)
@given(data=st.data(), sums=st.sampled_from([FLAT, TREE, CROSSED]))
def test_nobody_can_compute_what_is_kept_back(data: st.DataObject, sums: list[Sum]) -> None:
    """Every count kept back has at least two values among the tables that agree with the paper."""
    counts = data.draw(st.sampled_from(list(tables(sums, 7))))
    table = suppress(counts, sums)
    assert agrees(counts, table)
    fitting = [one for one in tables(sums, 10) if agrees(one, table)]
    for cell, shown in table.items():
        if isinstance(shown, Kept):
            assert len({one[cell] for one in fitting}) >= 2, (counts, table, cell)
        else:
            assert shown == counts[cell]
            assert shown == 0 or shown >= 5


def test_in_one_sum_not_even_who_knows_the_rules_and_tries_every_table_can() -> None:
    """The reader makes every table, publishes it by the same rules, and keeps those that give
    this paper: no count of 1 to 4 is the same in all of them."""
    papers: dict[tuple[object, ...], list[dict[str, int]]] = defaultdict(list)
    most = 16
    for counts in tables(FLAT, most):
        papers[tuple(suppress(counts, FLAT).items())].append(counts)
    looked_at = 0
    for paper, same in papers.items():
        if max(one["T"] for one in same) > most:
            continue  # larger tables, which are not tried, may give this paper too
        for cell, shown in dict(paper).items():  # type: ignore[call-overload]
            if isinstance(shown, Kept) and 0 < same[0][cell] < 5:
                looked_at += 1
                assert len({one[cell] for one in same}) >= 2, paper
    assert looked_at > 300


LEAVES = st.lists(st.lists(st.integers(0, 30), min_size=1, max_size=9), min_size=1, max_size=4)


@settings(max_examples=100, deadline=None)
@given(groups=LEAVES, weeks=st.lists(st.integers(1, 9), max_size=6))
def test_a_whole_league(groups: list[list[int]], weeks: list[int]) -> None:
    """Teams in associations in a league, and the same total by week; by sets of possible values,
    which the small tables above check against every table."""
    leaves = {f"t{g}.{n}": count for g, group in enumerate(groups) for n, count in enumerate(group)}
    total, by_week = sum(leaves.values()), {}
    for number, share in enumerate(weeks):
        by_week[f"w{number}"] = min(share, total - sum(by_week.values()))
    by_week["last"] = total - sum(by_week.values())
    sums = [
        Sum(f"a{g}", tuple(f"t{g}.{n}" for n in range(len(group))))
        for g, group in enumerate(groups)
    ]
    sums += [Sum("T", tuple(f"a{g}" for g in range(len(groups)))), Sum("T", tuple(by_week))]
    counts = counted({**leaves, **by_week}, sums)
    table = suppress(counts, sums)
    said = {
        cell: 0b11110
        if shown is Kept.FEW
        else (1 << 400) - 1
        if shown is Kept.HIDDEN
        else 1 << shown
        for cell, shown in table.items()
    }
    for cell, values in possible(said, sums).items():
        if isinstance(table[cell], Kept):
            assert values.bit_count() >= 3
            assert values >> counts[cell] & 1
    kept = sum(isinstance(shown, Kept) for shown in table.values())
    small = sum(0 < count < 5 for count in counts.values())
    assert bool(kept) == bool(small)


@settings(max_examples=30, deadline=None)
@given(counts=st.sampled_from(list(tables(TREE, 2))), known=st.sets(st.sampled_from("abcdAB")))
def test_the_sets_are_those_of_every_table(counts: dict[str, int], known: set[str]) -> None:
    """`possible` finds what trying every table with this total (8 at most) finds."""
    known = known | {"T"}
    domains = {
        cell: 1 << count if cell in known else (1 << 14) - 1 for cell, count in counts.items()
    }
    found = possible(domains, TREE)
    fitting = [one for one in tables(TREE, 8) if all(one[cell] == counts[cell] for cell in known)]
    for cell in counts:
        values = {number for number in range(14) if found[cell] >> number & 1}
        assert values == {one[cell] for one in fitting}
