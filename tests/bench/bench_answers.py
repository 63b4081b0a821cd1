"""One game's eligibility from a million events beside the same from the sample season.

    python -m tests.bench.bench_answers [FOLDER]

Whole commands are timed, start-up included, the best of several. Limit: 1.3.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

from tests.bench.big_season import big_store, sample_store

GAME = "oak-7b"
ROUNDS = 9


def command_seconds(store: Path) -> float:
    """The best time of `weighbook eligibility GAME` on that ledger."""
    command = [sys.executable, "-m", "ledger.commands", "--store", str(store)]
    command += ["eligibility", GAME, "--format", "json"]
    best = float("inf")
    for _ in range(ROUNDS):
        begin = perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        best = min(best, perf_counter() - begin)
    return best


def main(folder: Path) -> None:
    small, big = sample_store(folder), big_store(folder)
    one, other = command_seconds(small), command_seconds(big)
    print(f"eligibility {GAME}, sample season (7,346 events): {one:.3f} s")
    print(f"eligibility {GAME}, 1,000,000 events:             {other:.3f} s")
    print(f"ratio {other / one:.2f} (limit 1.3)")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
