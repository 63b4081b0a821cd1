"""Command line of the mutation bench; see the package."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from tests.bench.mutation import covering
from tests.bench.mutation.running import choose, try_all

EXPLAINED = Path(__file__).with_name("survivors.txt")


def main(what: str = "run", count: str = "300", seed: str = "1") -> int:
    if what == "map":
        covering.measure()
        return 0
    known = explained()
    ends: Counter[str] = Counter()
    new = 0
    for tried in try_all(choose(int(count), int(seed)), covering.tests_by_line()):
        ends[tried.end] += 1
        if tried.end == "killed":
            continue
        is_known = tried.key in known
        new += not is_known
        reason = known.get(tried.key, "NOT EXPLAINED")
        print(f"{tried.end}: {tried.key} (line {tried.mutant.line}): {reason}", flush=True)
    print(", ".join(f"{count} {end}" for end, count in sorted(ends.items())))
    return 1 if new else 0


def explained() -> dict[str, str]:
    """The survivors that are known, each with its reason: a line, and the reason indented."""
    found: dict[str, str] = {}
    key = ""
    for line in EXPLAINED.read_text().splitlines():
        if line.startswith("    "):
            found[key] = f"{found.get(key, '')} {line.strip()}".strip()
        elif line and not line.startswith("#"):
            key = line
    return found


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
