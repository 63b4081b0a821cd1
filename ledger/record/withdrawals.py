"""What withdrawals do: which statements no longer count, and what belongs to a statement."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)


def withdrawn(withdrawals: Iterable[tuple[Key, Key]]) -> set[Key]:
    """What no longer counts, of (withdrawal, its target) by position, or by event id.

    A withdrawal counts unless a withdrawal of it counts; no order enters into this.
    """
    by_target: dict[Key, list[Key]] = defaultdict(list)
    for withdrawal, target in withdrawals:
        by_target[target].append(withdrawal)
    is_gone: dict[Key, bool] = {}
    for first in by_target:
        waiting = [first]
        while waiting:
            target = waiting[-1]
            # In a circle, which acceptance never makes, the one asked first counts as gone.
            is_gone.setdefault(target, True)
            open_ones = [one for one in by_target.get(target, ()) if one not in is_gone]
            if open_ones:
                waiting += open_ones
                continue
            is_gone[target] = any(not is_gone[one] for one in by_target.get(target, ()))
            waiting.pop()
    return {target for target, gone in is_gone.items() if gone}


def with_withdrawals(ids: Iterable[Key], withdrawals: Iterable[tuple[Key, Key]]) -> set[Key]:
    """These ids, with those of their withdrawals, of the withdrawals of those, and so on.

    `withdrawals` are (withdrawal, its target), in any order.
    """
    by_target: dict[Key, list[Key]] = defaultdict(list)
    for withdrawal, target in withdrawals:
        by_target[target].append(withdrawal)
    found = set(ids)
    waiting = list(found)
    while waiting:
        more = [one for one in by_target[waiting.pop()] if one not in found]
        found.update(more)
        waiting += more
    return found
