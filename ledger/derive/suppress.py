"""Small numbers of children, hidden so that no total gives one away.

A number from 1 to 4 is shown as "fewer than 5". Where totals and the other numbers would say more
about it than that, a larger number beside it is "not shown" (cell suppression: common practice in
official statistics, no source). Where that does not do, the finest level of detail is not shown
at all, then the next one, so that the last total is lost last.

The rule is strict on purpose: every hidden number could still be 1, 2, 3 or 4. With two possible
values only, the choice of what else is hidden would itself tell which. It does not guard against
a reader who knows one of the hidden numbers, nor against two papers made at different moments.

The numbers are the leaves of a tree, every total is the sum of its parts. On a tree, sums of
whole numbers between bounds are exact, so the bounds found here are those of the best reader.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

LEAST = 5
"""The smallest number of children that is shown; 0 is shown too."""
_UNBOUNDED = 10**9


class Precision(Enum):
    """What stands in the place of a number that is hidden, or EXACT.

    WITHHELD hides a number that is not small, COARSE any number; to a reader they are the same.
    """

    EXACT = "exact"
    FEWER = "fewer"
    WITHHELD = "withheld"
    COARSE = "coarse"


Bounds = tuple[int, int]
FEWER_WORDS = f"fewer than {LEAST}"
WITHHELD_WORDS = "not shown"
_DOMAIN: Mapping[Precision, Bounds] = {
    Precision.FEWER: (1, LEAST - 1),
    Precision.WITHHELD: (LEAST, _UNBOUNDED),
    Precision.COARSE: (0, _UNBOUNDED),
}

_WORDS: Mapping[Precision, str] = {
    Precision.FEWER: FEWER_WORDS,
    Precision.WITHHELD: WITHHELD_WORDS,
    Precision.COARSE: WITHHELD_WORDS,
}


def hide_small(leaves: Mapping[str, int], parents: Mapping[str, str]) -> dict[str, int | str]:
    """The numbers of the leaves and of every total above them, or the words in their place.

    `parents` gives the total of each leaf, and of each total but the last one; all leaves are
    equally far from it. Every number is 0 or more; a leaf that `leaves` lacks is 0.
    """
    tree = _Tree(leaves, parents)
    depth = max(tree.depth.values())
    while (shown := _hidden(tree, depth)) is None:
        depth -= 1
    return {
        key: tree.value[key] if how is Precision.EXACT else _WORDS[how]
        for key, how in shown.items()
    }


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
            parts = self.kids.get(key)
            self.value[key] = (
                sum(self.value[part] for part in parts) if parts else leaves.get(key, 0)
            )

    def siblings(self, key: str) -> list[str]:
        above = self.parent.get(key)
        return [other for other in self.kids.get(above, []) if other != key] if above else []


def _hidden(tree: _Tree, depth: int) -> dict[str, Precision] | None:
    """What is hidden if nothing below that depth is shown; None where this gives one away."""
    shown = {key: _alone(tree, key, depth) for key in tree.order}
    while at_risk := _at_risk(tree, shown):
        beside = _beside(tree, shown, at_risk[0])
        if beside is None:
            return None
        _withhold(tree, shown, beside)
    return shown


def _alone(tree: _Tree, key: str, depth: int) -> Precision:
    """How the number is shown if it stood alone."""
    if tree.depth[key] > depth:
        return Precision.COARSE
    return Precision.FEWER if 0 < tree.value[key] < LEAST else Precision.EXACT


def _narrowed(tree: _Tree, domains: Mapping[str, Bounds]) -> dict[str, Bounds]:
    """Up: a total lies between the sums of its parts' bounds. Down: a part is what is left."""
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
            found[part] = (
                max(own_low, low - (most - own_high)),
                min(own_high, high - (least - own_low)),
            )
    return found


def _at_risk(tree: _Tree, shown: Mapping[str, Precision]) -> list[str]:
    """The small numbers of which a reader could say more than that they are small."""
    domains = {
        key: (tree.value[key],) * 2 if how is Precision.EXACT else _DOMAIN[how]
        for key, how in shown.items()
    }
    found = _narrowed(tree, domains)
    fewer = [key for key, how in shown.items() if how is Precision.FEWER]
    return [key for key in fewer if found[key] != _DOMAIN[Precision.FEWER]]


def _beside(tree: _Tree, shown: Mapping[str, Precision], key: str) -> str | None:
    """A number to hide: beside the key's, else beside the total above it, and so on."""
    while key != tree.root:
        for other in tree.siblings(key):
            if shown[other] is Precision.EXACT and tree.value[other] >= LEAST:
                return other
        key = tree.parent[key]
    return None


def _withhold(tree: _Tree, shown: dict[str, Precision], key: str) -> None:
    """Hide the number, and one of its parts where all of them would show it."""
    while True:
        shown[key] = Precision.WITHHELD
        parts = tree.kids.get(key, [])
        if not parts or any(shown[part] is not Precision.EXACT for part in parts):
            return
        key = next(part for part in parts if tree.value[part] >= LEAST)
