"""Hide small numbers of children so that no total gives one away.

A number from 1 to 4 shows as "fewer than 5". If totals and other numbers would say more about it,
a larger number beside it is "not shown" (cell suppression: common practice in official
statistics, no source). If that is not enough, the finest level of detail is not shown at all, then
the next one: the last total goes last.

The rule is strict on purpose: every hidden number could still be 1, 2, 3 or 4. With only two
possible values, the choice of what else is hidden would tell which. It does not guard against a
reader who knows one of the hidden numbers, nor against two papers made at different moments.

The numbers are the leaves of a tree; every total is the sum of its parts. On a tree, sums of
whole numbers between bounds are exact, so the bounds found here are those of the best reader.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

LEAST = 5
"""The smallest number of children that is shown; 0 is shown too."""
_UNBOUNDED = 10**9
FEWER_WORDS = f"fewer than {LEAST}"
WITHHELD_WORDS = "not shown"
Bounds = tuple[int, int]


class Hidden(Enum):
    """How a number is hidden: the words shown instead, and the values it may have.

    WITHHELD hides a number that is not small, COARSE any number; to a reader they are the same.
    """

    FEWER = FEWER_WORDS, (1, LEAST - 1)
    WITHHELD = WITHHELD_WORDS, (LEAST, _UNBOUNDED)
    COARSE = WITHHELD_WORDS, (0, _UNBOUNDED)

    def __init__(self, words: str, bounds: Bounds) -> None:
        self.words, self.bounds = words, bounds


_Shown = dict[str, Hidden | None]
"""How each number is hidden; None if it is shown."""


def hide_small(leaves: Mapping[str, int], parents: Mapping[str, str]) -> dict[str, int | str]:
    """Return the numbers of the leaves and of every total above them, or the words in their place.

    `parents` gives the total above each leaf and each total, except the last one; all leaves are
    equally far from it. Every number is 0 or more; a leaf that `leaves` lacks is 0.
    """
    tree = _Tree(leaves, parents)
    depth = max(tree.depth.values())
    while (shown := _hidden(tree, depth)) is None:
        depth -= 1
    return {key: how.words if how else tree.value[key] for key, how in shown.items()}


class _Tree:
    def __init__(self, leaves: Mapping[str, int], parents: Mapping[str, str]) -> None:
        self.parent = dict(parents)
        self.kids: dict[str, list[str]] = {}
        for key, above in parents.items():
            self.kids.setdefault(above, []).append(key)
        (self.root,) = set(parents.values()) - set(parents)
        self.order = [self.root]
        for key in self.order:
            self.order.extend(self.kids.get(key, []))
        self.depth = {self.root: 0}
        for key in self.order[1:]:
            self.depth[key] = self.depth[self.parent[key]] + 1
        self.value: dict[str, int] = {}
        for key in reversed(self.order):
            parts = [self.value[part] for part in self.kids.get(key, [])]
            self.value[key] = sum(parts) if parts else leaves.get(key, 0)


def _hidden(tree: _Tree, depth: int) -> _Shown | None:
    """How to hide with nothing shown below that depth; None if this gives a number away."""
    shown: _Shown = {}
    for key in tree.order:
        is_small = 0 < tree.value[key] < LEAST
        shown[key] = (
            Hidden.COARSE if tree.depth[key] > depth else Hidden.FEWER if is_small else None
        )
    while at_risk := _at_risk(tree, shown):
        beside = _beside(tree, shown, at_risk[0])
        if beside is None:
            return None
        _withhold(tree, shown, beside)
    return shown


def _narrowed(tree: _Tree, domains: Mapping[str, Bounds]) -> dict[str, Bounds]:
    """Up: a total lies between the sums of its parts' bounds. Down: a part is what is left over."""
    below: dict[str, Bounds] = {}
    for key in reversed(tree.order):
        low, high = domains[key]
        parts = [below[part] for part in tree.kids.get(key, [])]
        if parts:
            low = max(low, sum(part[0] for part in parts))
            high = min(high, sum(part[1] for part in parts))
        below[key] = low, high
    found = {tree.root: below[tree.root]}
    for key in tree.order:
        parts_of = tree.kids.get(key, [])
        least = sum(below[part][0] for part in parts_of)
        most = sum(below[part][1] for part in parts_of)
        low, high = found[key]
        for part in parts_of:
            own_low, own_high = below[part]
            found[part] = max(own_low, low - most + own_high), min(own_high, high - least + own_low)
    return found


def _at_risk(tree: _Tree, shown: _Shown) -> list[str]:
    """The small numbers about which a reader could say more than that they are small."""
    domains = {k: how.bounds if how else (tree.value[k],) * 2 for k, how in shown.items()}
    found = _narrowed(tree, domains)
    fewer = Hidden.FEWER
    return [key for key, how in shown.items() if how is fewer and found[key] != fewer.bounds]


def _beside(tree: _Tree, shown: _Shown, key: str) -> str | None:
    """A number to hide: beside this one, or else beside the total above it, and so on."""
    while key != tree.root:
        for other in tree.kids[tree.parent[key]]:
            if other != key and not shown[other] and tree.value[other] >= LEAST:
                return other
        key = tree.parent[key]
    return None


def _withhold(tree: _Tree, shown: _Shown, key: str) -> None:
    """Hide the number, and one of its parts if all of them together would show it."""
    while True:
        shown[key] = Hidden.WITHHELD
        parts = tree.kids.get(key, [])
        if not parts or any(shown[part] for part in parts):
            return
        key = next(part for part in parts if tree.value[part] >= LEAST)
