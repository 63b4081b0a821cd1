"""Counts over many random seasons: how often each rule and basis occurs, and what it costs.

python -m tests.random_seasons [SEASONS]
"""

from __future__ import annotations

import sys
from collections import Counter
from time import perf_counter

from tests.random_seasons import faults, random_season
from tests.reference_rules import RULE_NAMES, eligibility, exposure, findings


def main(count: int) -> None:
    found, seasons_with, bases, statuses = (Counter[str]() for _ in range(4))
    kinds = Counter[str]()
    building = judging = 0.0
    for seed in range(count):
        start = perf_counter()
        events = random_season(seed)
        built = perf_counter()
        rows = findings(events)
        judging += perf_counter() - built
        building += built - start
        assert not faults(events), (seed, faults(events))
        kinds.update(event["kind"] for event in events)
        found.update(row["rule"] for row in rows)
        seasons_with.update({row["rule"] for row in rows})
        bases.update(row["basis"] for row in eligibility(events))
        statuses.update(row["status"] for row in exposure(events))
    print(f"{'rule':28}{'findings':>9}{'seasons':>9}{'without':>9}")
    for rule in RULE_NAMES:
        print(f"{rule:28}{found[rule]:9}{seasons_with[rule]:9}{count - seasons_with[rule]:9}")
    for title, counter in (("basis", bases), ("status", statuses), ("kind", kinds)):
        print(f"\n{title}: " + ", ".join(f"{name} {n}" for name, n in counter.most_common()))
    print(f"\nbuilding {1000 * building / count:.2f} ms, findings {1000 * judging / count:.2f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
