"""The season summary of a league of 24 teams: how long, how many pages, how much memory.

    python -m tests.bench.bench_summary [FOLDER]

The league is the sample season three times over. The paper is made twice, each time in a process
of its own, which says how long the numbers and the page took and the most memory it held; the two
are compared byte for byte.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import pikepdf

from ledger.papers.render import render_sheet
from ledger.papers.season_summary import summary_sheet
from ledger.store.opening import open_store
from tests.bench.big_season import big_store

EVENTS = 21_000
TEAMS = 24


def print_summary(store: Path, to: Path) -> dict[str, float]:
    """Seconds of the numbers and of the page, pages, and the most memory held in MiB."""
    ledger = open_store(store)
    begin = perf_counter()
    sheet = summary_sheet(ledger)
    counted = perf_counter()
    render_sheet(sheet, to)
    end = perf_counter()
    assert len(sheet.context["paper"].teams) == TEAMS
    events = sum(ledger.lengths().values())
    ledger.close()
    with pikepdf.open(to) as pdf:
        pages = len(pdf.pages)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {
        "events": events,
        "numbers": counted - begin,
        "page": end - counted,
        "pages": pages,
        "memory": memory,
    }


def main(folder: Path) -> None:
    store = big_store(folder, EVENTS)
    papers = [folder / "one.pdf", folder / "two.pdf"]
    for paper in papers:
        command = [sys.executable, "-m", "tests.bench.bench_summary", "one", str(store), str(paper)]
        said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        found = json.loads(said)
        seconds = found["numbers"] + found["page"]
        print(
            f"{TEAMS} teams, {found['events']:,} events: {seconds:.1f} s"
            f" ({found['numbers']:.1f} s numbers, {found['page']:.1f} s page),"
            f" {found['pages']} pages, {found['pages'] / seconds:.2f} pages a second;"
            f" at most {found['memory']:.0f} MiB"
        )
    assert papers[0].read_bytes() == papers[1].read_bytes()
    print("both are the same, byte for byte")


if __name__ == "__main__":
    if sys.argv[1:2] == ["one"]:
        print(json.dumps(print_summary(Path(sys.argv[2]), Path(sys.argv[3]))))
    elif len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
