"""Who is on the field for which snap, so that the counts of a team add up to eleven a snap.

The one who is furthest behind a fair share goes in next; a share is a child's own, and the coach
sees to it that nobody who is there stays under the minimum unless the story says so.
"""

from __future__ import annotations

from collections.abc import Mapping

from tests.sample.sheet import Dice

ON_FIELD = 11
Counts = dict[int, list[int]]


def count_half(
    dice: Dice, snaps: tuple[int, ...], shares: Mapping[int, float], fixed: Mapping[int, int]
) -> Counts:
    """Plays by number, cumulative at the end of each part of a half of these snaps.

    `shares`: weight of each who may be sent in, by number; `fixed`: exact counts for some.
    """
    total = sum(snaps)
    turns = {number: set(dice.some(range(total), count)) for number, count in fixed.items()}
    played = dict.fromkeys((*shares, *fixed), 0)
    counts: Counts = {number: [] for number in sorted(played)}
    snap = 0
    for part in snaps:
        for _ in range(part):
            on_field = [number for number, own in turns.items() if snap in own]
            behind = sorted(
                (number for number in shares if number not in fixed),
                key=lambda number: (played[number] + dice.chance()) / shares[number],
            )
            for number in on_field + behind[: ON_FIELD - len(on_field)]:
                played[number] += 1
            snap += 1
        for number, so_far in counts.items():
            so_far.append(played[number])
    return counts
