"""Small counts of children are kept back, so that no reader can work one out.

    rule   A count of children from 1 to 4 is shown as "fewer than 5"; 0 and 5 or more are shown.
    rule   Where sums would still give such a count away, another count of the same sum is "not
           shown": the first one that is not 0, whatever its size, and a total last; until every
           count of 1 to 4 could be at least three different numbers.
    rule   Where even that does not do (four small parts of a total below 5 are all 1), what would
           be "fewer than 5" is "not shown" as well.

Cells are named by text; a `Sum` says that its parts make up its total. A cell is a part of one sum
at most and may be the total of several, so that sums form trees and what a reader can work out is
found exactly: by adding up the sets of possible values from the leaves to the root and taking them
apart again on the way back. A reader knows the table, the sums and what the words mean, and
guesses that a count that is not said to be below 5 is 5 or more. In one sum not even a reader who
knows these rules, and tries every table, can work out a count of 1 to 4 (tested); in sums of sums
such a reader can in rare corners. Two papers as of two moments are two tables: what their
difference gives away is not looked at.

Source: cell suppression with an audit of what stays feasible is common practice of official
statistics (from memory).

>>> table = suppress({"a": 3, "b": 12, "c": 9, "all": 24}, [Sum("all", ("a", "b", "c"))])
>>> [format_count(table[cell]) for cell in ("a", "b", "c", "all")]
['fewer than 5', 'not shown', '9', '24']

Rejected: rounding totals (a rounded total next to shown parts can still leave one value), and
shuffling counts (a paper that says a number has to be right).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

SMALLEST_SHOWN = 5
ENOUGH = 3
FEWER = 0b11110
"""The numbers 1 to 4, as a set: bit n stands for n."""
_REACH = 20  # a "not shown" cell is taken to be this near its value: fewer values, a harder test


class Kept(Enum):
    """What stands for a count that is kept back."""

    FEW = "fewer than 5"
    HIDDEN = "not shown"


Shown = int | Kept
Table = dict[str, Shown]


@dataclass(frozen=True, slots=True)
class Sum:
    """The counts of `parts` add up to that of `total`."""

    total: str
    parts: tuple[str, ...]


def suppress(counts: Mapping[str, int], sums: Sequence[Sum]) -> Table:
    """What may be published of these counts of children. ValueError where sums are no trees, or
    a total is not what its parts add up to."""
    _check(counts, sums)
    table: Table = {cell: Kept.FEW if _is_few(count) else count for cell, count in counts.items()}
    while weak := _weak(counts, sums, table):
        for cell in weak:
            if shown := _beside(cell, counts, sums, table):
                table[shown] = Kept.HIDDEN
                break
        else:
            table[_few_beside(weak, sums, table)] = Kept.HIDDEN
    return table


def possible(domains: Mapping[str, int], sums: Sequence[Sum]) -> dict[str, int]:
    """The values of each cell that agree with all the others. A set of numbers is an integer: bit
    n stands for n. The sums are those of `suppress`."""
    below = dict(domains)
    ordered = _leaves_first(sums)
    for one in ordered:
        below[one.total] &= _added(below[part] for part in one.parts)
    found = dict(below)
    for one in reversed(ordered):
        for part, others in _with_others([below[part] for part in one.parts]):
            name = one.parts[part]
            found[name] = below[name] & _taken(found[one.total], others)
    return found


def format_count(shown: Shown) -> str:
    """ "12", "fewer than 5" or "not shown"."""
    return shown.value if isinstance(shown, Kept) else f"{shown:,}"


def _weak(counts: Mapping[str, int], sums: Sequence[Sum], table: Table) -> list[str]:
    """The cells kept back that a reader could pin down too well: those of few children under the
    reader's best guesses, the others under what the table says."""
    said = possible({cell: _domain(counts[cell], shown) for cell, shown in table.items()}, sums)
    guessed = possible(
        {cell: _domain(counts[cell], shown, guess=True) for cell, shown in table.items()}, sums
    )
    return [
        cell
        for cell, shown in table.items()
        if isinstance(shown, Kept)
        and (guessed if _is_few(counts[cell]) else said)[cell].bit_count() < ENOUGH
    ]


def _is_few(count: int) -> bool:
    return 0 < count < SMALLEST_SHOWN


def _domain(count: int, shown: Shown, *, guess: bool = False) -> int:
    """The values that a reader has to allow. A reader who guesses takes what is not said to be
    below 5 for 5 or more, or for nobody where that is so."""
    if shown is Kept.FEW:
        return FEWER
    if shown is Kept.HIDDEN:
        low = max(0, count - _REACH)
        if guess and count >= SMALLEST_SHOWN:
            low = max(SMALLEST_SHOWN, low)
        near = ((1 << (count + _REACH + 1)) - 1) >> low << low
        return near & ~FEWER if guess and count == 0 else near
    return 1 << count


def _beside(cell: str, counts: Mapping[str, int], sums: Sequence[Sum], table: Table) -> str | None:
    """The shown cell to keep back for this one: the first part of its sums, else a total, else
    the same of the cells kept back beside it.

    A count of nobody stays. Choosing by size would tell a reader something about the sizes.
    """
    seen, waiting = {cell}, [cell]
    while waiting:
        around = waiting.pop(0)
        near = [one for one in sums if around == one.total or around in one.parts]
        cells = [part for one in near for part in one.parts] + [one.total for one in near]
        for beside in cells:
            if not isinstance(table[beside], Kept):
                if counts[beside]:
                    return beside
            elif beside not in seen:
                seen.add(beside)
                waiting.append(beside)
    return None


def _few_beside(weak: Sequence[str], sums: Sequence[Sum], table: Table) -> str:
    """The cell that shall not even be said to be below 5: a total before a part."""
    near = [one for one in sums if {one.total, *one.parts} & set(weak)]
    cells = [one.total for one in near] + [part for one in near for part in one.parts]
    return next(cell for cell in [*cells, *weak] if table[cell] is Kept.FEW)


def _check(counts: Mapping[str, int], sums: Sequence[Sum]) -> None:
    parts = [part for one in sums for part in one.parts]
    if len(parts) != len(set(parts)):
        raise ValueError("a cell is a part of two sums")
    for one in sums:
        if counts[one.total] != sum(counts[part] for part in one.parts):
            raise ValueError(f"{one.total} is not what its parts add up to")
    _leaves_first(sums)


def _leaves_first(sums: Sequence[Sum]) -> list[Sum]:
    """Every sum after those whose totals are its parts."""
    ordered: list[Sum] = []
    waiting = list(sums)
    while waiting:
        open_totals = {one.total for one in waiting}
        ready = [one for one in waiting if not open_totals & set(one.parts)]
        if not ready:
            raise ValueError("a cell is a part of itself")
        ordered += ready
        waiting = [one for one in waiting if one not in ready]
    return ordered


def _bits(numbers: int) -> Iterator[int]:
    while numbers:
        lowest = numbers & -numbers
        yield lowest.bit_length() - 1
        numbers ^= lowest


def _plus(some: int, more: int) -> int:
    """Every sum of a number of one set and a number of the other."""
    if some.bit_count() > more.bit_count():
        some, more = more, some
    added = 0
    for number in _bits(some):
        added |= more << number
    return added


def _added(sets: Iterable[int]) -> int:
    total = 1
    for numbers in sets:
        total = _plus(total, numbers)
    return total


def _taken(total: int, others: int) -> int:
    """Every difference, not below 0, of a number of `total` and a number of `others`."""
    left = 0
    for number in _bits(others):
        left |= total >> number
    return left


def _with_others(sets: Sequence[int]) -> Iterator[tuple[int, int]]:
    """The index of each set with what all the other sets can add up to."""
    before = [1]
    for numbers in sets:
        before.append(_plus(before[-1], numbers))
    after = 1
    for index in reversed(range(len(sets))):
        yield index, _plus(before[index], after)
        after = _plus(after, sets[index])
