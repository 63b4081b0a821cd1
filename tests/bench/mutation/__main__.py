"""Command line of the mutation bench; see the package."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from tests.bench.mutation.running import Tried, choose, everything, try_all

EXPLAINED = Path(__file__).with_name("survivors.txt")


def main(what: str = "run", count: str = "300", seed: str = "1") -> int:
    known = explained()
    chosen = choose(int(count), int(seed))
    if what == "again":
        chosen = [one for one in everything() if reason_of(f"{one[0]}: {one[1].what}", known)]
    ends: Counter[str] = Counter()
    new = 0

    def tell(tried: Tried) -> None:
        nonlocal new
        ends[tried.end] += 1
        if tried.end == "killed":
            return
        reason = reason_of(tried.key, known)
        new += not reason
        told = reason or "NOT EXPLAINED"
        print(f"{tried.end}: {tried.key} (line {tried.mutant.line}): {told}", flush=True)

    try_all(chosen, tell)
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


def reason_of(key: str, known: dict[str, str]) -> str:
    """Its reason; "" for none. A line that ends in … is every change that begins so."""
    ends = (reason for one, reason in known.items() if one[-1] == "…" and key.startswith(one[:-1]))
    return known.get(key) or next(ends, "")


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
