"""Random seasons by SQL and by the reference: differences, and what each costs.

python -m tests.bench.bench_differential [SEASONS] [FIRST]
"""

from __future__ import annotations

import sys
from time import perf_counter

from tests.differential import differences, moment_for, season_for


def main(count: int = 1000, first: int = 1_000_000) -> int:
    begin = perf_counter()
    wrong = 0
    for seed in range(first, first + count):
        events = season_for(seed)
        for difference in differences(events, moment_for(events, seed)):
            wrong += 1
            print(f"seed {seed}: {difference}")
    seconds = perf_counter() - begin
    print(f"{count} random seasons in {seconds:.0f} s: {wrong} differences")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
