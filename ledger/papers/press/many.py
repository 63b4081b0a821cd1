"""Print many papers at once, in several processes: all of them or none.

The papers are made in a hidden folder, which gets its name when the last is done. Processes are
spawned, not forked, because the typesetter's libraries have their own threads. The bytes are the
same as from `render` one by one.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from pathlib import Path

from ledger.errors import LedgerError, ReportError
from ledger.outputs import PDF, appearing, write_output
from ledger.papers.press.render import render_sheet
from ledger.papers.press.sheet import Sheet

Papers = Iterable[tuple[str, Sheet]]


def render_all(
    papers: Papers,
    to: Path,
    *,
    processes: int | None = None,
    on_paper: Callable[[], object],
    sign: Callable[[bytes], bytes] | None = None,
) -> int:
    """Write papers, pairs of a file name and a sheet, into the new folder `to`. Return how many.

    `on_paper` is called after each one; `sign` returns a PDF with a signature. Raises ReportError
    if a paper cannot be made (it names the paper) or if `to` exists; then nothing is written.
    """
    processes = processes or cores()
    count = 0
    with appearing(to) as folder:
        distinct = _distinct(papers)
        done = _here(distinct, folder) if processes == 1 else _spread(distinct, folder, processes)
        for name in done:
            if sign:
                write_output(sign((folder / name).read_bytes()), folder / name, PDF)
            count += 1
            on_paper()
    return count


def cores() -> int:
    """The number of processors that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _distinct(papers: Papers) -> Iterator[tuple[str, Sheet]]:
    """The papers; ReportError for two that some file systems take for one ("A.pdf", "a.pdf")."""
    seen: set[str] = set()
    for name, sheet in papers:
        if name.casefold() in seen:
            raise ReportError(
                f"two papers would be called {name}", hint="Print them one by one with --to."
            )
        seen.add(name.casefold())
        yield name, sheet


def _here(papers: Papers, folder: Path) -> Iterator[str]:
    for name, sheet in papers:
        with _naming(name):
            render_sheet(sheet, folder / name)
        yield name


def _spread(papers: Papers, folder: Path, processes: int) -> Iterator[str]:
    spawn = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(processes, mp_context=spawn, initializer=_leave_stopping_to_us)
    try:
        waiting: dict[Future[None], str] = {}
        for name, sheet in papers:
            waiting[pool.submit(render_sheet, sheet, folder / name)] = name
            yield from _done(waiting, timeout=0)
        while waiting:
            yield from _done(waiting, timeout=None)
    finally:
        pool.shutdown(cancel_futures=True)


def _done(waiting: dict[Future[None], str], timeout: float | None) -> Iterator[str]:
    """Take the finished papers out of `waiting` and yield their names; raises the first error."""
    for future in wait(waiting, timeout, FIRST_COMPLETED).done:
        name = waiting.pop(future)
        with _naming(name):
            future.result()
        yield name


def _leave_stopping_to_us() -> None:
    """Ignore Ctrl-C, which reaches every process of a terminal: only the first one answers it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _naming(name: str) -> Iterator[None]:
    """Name the paper in an error about it."""
    try:
        yield
    except BrokenProcessPool as error:
        raise ReportError(
            f"{name}: the process that made it died",
            hint="Maybe there is too little memory. Close other programs and print again.",
        ) from error
    except LedgerError as error:
        raise ReportError(f"{name}: {error.message}", hint=error.hint) from error
