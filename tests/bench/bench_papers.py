"""`print all` for a Saturday of 28 games, shared among processes, beside the same in one.

    python -m tests.bench.bench_papers [FOLDER]

The Saturday is the sample season's first, seven times over. Each way runs in a process of its own,
which says how long it took, how many pages it made, and the most memory it and its largest helper
held. The papers of both ways are compared byte for byte.
"""

from __future__ import annotations

import filecmp
import json
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import pikepdf

from ledger.papers.press.many import cores, render_all
from ledger.papers.sheets.weeks import find_week, lay_week
from ledger.store.opening import open_store
from tests.bench.big_season import big_store

EVENTS = 50_000
GAMES = 28
PRINTED_AT = "2026-09-05T12:00:00.000Z"


def print_saturday(store: Path, to: Path, processes: int) -> dict[str, float]:
    """Seconds (also those of all processors), papers, and the most memory in MiB held by this
    process and by its largest child."""
    ledger = open_store(store)
    begin = perf_counter()
    week = find_week(ledger, 1)
    assert len(week.games) == GAMES
    sheets = lay_week(ledger, week, printed_at=PRINTED_AT)
    papers = render_all(sheets, to, processes=processes, on_paper=lambda: None)
    seconds = perf_counter() - begin
    ledger.close()
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    own, child = (one.ru_maxrss / 1024 for one in used)
    busy = sum(one.ru_utime + one.ru_stime for one in used)
    return {"seconds": seconds, "busy": busy, "papers": papers, "own": own, "child": child}


def measure(store: Path, to: Path, processes: int) -> float:
    """The seconds that it took, with a line about it."""
    command = [sys.executable, "-m", "tests.bench.bench_papers", "one"]
    command += [str(store), str(to), str(processes)]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    found = json.loads(said)
    pages = 0
    for path in to.iterdir():
        with pikepdf.open(path) as pdf:
            pages += len(pdf.pages)
    helpers = f" and {found['child']:.0f} MiB in its largest helper" if processes > 1 else ""
    print(
        f"{processes} process{'es' if processes > 1 else ''}: {found['papers']} papers,"
        f" {pages} pages in {found['seconds']:.1f} s ({found['busy']:.1f} s of processors),"
        f" {pages / found['seconds']:.2f} pages a second; at most {found['own']:.0f} MiB{helpers}"
    )
    return float(found["seconds"])


def main(folder: Path) -> None:
    store = big_store(folder, EVENTS)
    many = measure(store, folder / "many", max(2, cores()))
    one = measure(store, folder / "one", 1)
    names = sorted(path.name for path in (folder / "one").iterdir())
    same, other, missing = filecmp.cmpfiles(folder / "one", folder / "many", names, shallow=False)
    assert len(same) == len(names), f"{len(other)} differ, as {other[:3]}; missing: {missing[:3]}"
    print(f"ratio {one / many:.2f}; all {len(names)} papers are the same, byte for byte")


if __name__ == "__main__":
    if sys.argv[1:2] == ["one"]:
        where, to, processes = sys.argv[2:]
        print(json.dumps(print_saturday(Path(where), Path(to), int(processes))))
    elif len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
