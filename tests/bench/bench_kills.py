"""Random kills of server and browser while a game is weighed: what was lost, what came twice.

python -m tests.bench.bench_kills [KILLS] [SEED]
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from time import perf_counter

from playwright.sync_api import sync_playwright

from tests.field.kills import weigh_and_kill


def main(kills: int = 200, seed: int = 1) -> int:
    begin = perf_counter()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        morning = weigh_and_kill(playwright, Path(folder), kills, seed)
    for fault in morning.faults:
        print(fault)
    print(
        f"{morning.server_kills} kills of the server and {morning.browser_kills} of the browser"
        f" in {perf_counter() - begin:.0f} s: {len(morning.held)} entries held,"
        f" {morning.unheld} taps died before they were, {len(morning.faults)} faults"
    )
    return 1 if morning.faults else 0


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
