"""The thickest papers, beside the typesetter alone on the same text.

    python -m tests.bench.bench_packets [FOLDER]

A review packet and a protest packet of the sample season, the same protest in a ledger of 50,000
events, and the summary of a season of 24 teams (the sample season three times). Each is made in a
process of its own, from the store to the file with its attachments; then WeasyPrint alone sets
the same HTML in another process. Of three runs the quickest counts; memory is the most that
either process held. What is above 1 in the ratio is answers, proof, and the last pass over the PDF.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

import pikepdf

from ledger.papers.press.compose import compose
from ledger.papers.press.heads import Heads
from ledger.papers.press.printing import print_html
from ledger.papers.press.render import render_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.papers.sheets.season import season_sheet
from ledger.store.opening import open_store
from tests.bench.big_season import big_store, sample_store

RUNS = 3
TEAMS_24, LARGE = 15_000, 50_000
"""Events; the first are those of the sample season three times."""
Found = dict[str, Any]


def paper(store: Path, kind: str, case: str, html: Path) -> Found:
    """Makes the paper and leaves its HTML for the peer; seconds, pages, MiB."""
    begin = perf_counter()
    ledger = open_store(store)
    if kind == "season_summary":
        sheet = season_sheet(Heads(ledger))
    elif kind == "review_packet":
        sheet = packet_sheet(Heads(ledger), case, "review_packet")
    else:
        sheet = packet_sheet(Heads(ledger), case, "protest_packet")
    answered = perf_counter()
    render_sheet(sheet, html.with_suffix(".pdf"))
    done = perf_counter()
    ledger.close()
    peak = _peak()
    html.write_text(compose(sheet.document, sheet.context, stamp=sheet.stamp))
    html.with_suffix(".stamp").write_text(sheet.stamp)
    with pikepdf.open(html.with_suffix(".pdf")) as pdf:
        pages = len(pdf.pages)
    return {"seconds": done - begin, "answers": answered - begin, "pages": pages, "peak": peak}


def alone(html: Path) -> Found:
    text, stamp = html.read_text(), html.with_suffix(".stamp").read_text()
    begin = perf_counter()
    print_html(text, stamp)
    return {"seconds": perf_counter() - begin, "peak": _peak()}


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def quickest(*words: str) -> Found:
    """The quickest of some runs, each in a fresh process."""
    command = [sys.executable, "-m", "tests.bench.bench_packets", *words]
    runs = [
        json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
        for _ in range(RUNS)
    ]
    return min(runs, key=lambda found: found["seconds"])


def main(folder: Path) -> None:
    sample = sample_store(folder)
    papers = (
        ("review packet", sample, "review_packet", "mixed-numbers"),
        ("protest packet", sample, "protest_packet", "late-plays"),
        (f"the same of {LARGE:,}", big_store(folder, LARGE), "protest_packet", "late-plays"),
        ("summary, 24 teams", big_store(folder, TEAMS_24), "season_summary", ""),
    )
    print(f"{'':25}from the store to the file        typesetter alone    ratio of")
    print(
        "                  pages seconds answers pages/s   MiB       seconds   MiB    time memory"
    )
    for name, store, kind, case in papers:
        html = folder / f"{kind}.html"
        made = quickest("paper", str(store), kind, case, str(html))
        peer = quickest("alone", str(html))
        print(
            f"{name:18}{made['pages']:5}{made['seconds']:8.2f}{made['answers']:8.2f}"
            f"{made['pages'] / made['seconds']:8.1f}{made['peak']:6.0f}"
            f"{peer['seconds']:14.2f}{peer['peak']:6.0f}"
            f"{made['seconds'] / peer['seconds']:8.2f}{made['peak'] / peer['peak']:7.2f}"
        )


if __name__ == "__main__":
    ways: dict[str, Callable[..., Found]] = {
        "paper": lambda store, kind, case, html: paper(Path(store), kind, case, Path(html)),
        "alone": lambda html: alone(Path(html)),
    }
    if len(sys.argv) > 1 and sys.argv[1] in ways:
        print(json.dumps(ways[sys.argv[1]](*sys.argv[2:])))
    elif len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made_here:
            main(Path(made_here))
