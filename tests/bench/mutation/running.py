"""Try changes: each against the tests that run its line, in the quickest way it can be tried.

A change of a function's body is tried in a child of a warm process; any other in a copy of the
project, by a new one.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.bench.mutation.mutants import Mutant, mutants_of
from tests.bench.mutation.reaching import reaching, test_files
from tests.bench.mutation.rooms import ROOMS, ROOT, copied
from tests.bench.mutation.warm import SECONDS, Child, Warm

FIRST, MOST = 2, 5
"""How many test files are asked about each change, and how many of them first."""


@dataclass(frozen=True)
class Tried:
    """A change and how it ended: "killed", "survived", "not run" (no test file reaches it).

    "hung" is one whose tests took too long: it may go around for ever.
    """

    file: str
    mutant: Mutant
    end: str

    @property
    def key(self) -> str:
        """As it stands in `survivors.txt`; without the line's number, which moves."""
        return f"{self.file}: {self.mutant.what}"


def everything() -> list[tuple[str, Mutant]]:
    """Every change of every file of the rooms."""
    return [
        (path.relative_to(ROOT).as_posix(), mutant)
        for room in ROOMS
        for path in sorted((ROOT / "ledger" / room).rglob("*.py"))
        for mutant in mutants_of(path.read_text())
    ]


def choose(count: int, seed: int) -> list[tuple[str, Mutant]]:
    """`count` changes spread over the rooms' files by how many each has, the same for a seed."""
    whole = everything()
    chosen = random.Random(seed).sample(whole, min(count, len(whole)))
    return sorted(chosen, key=lambda one: one[0])


@dataclass(frozen=True)
class _Job:
    """A change with the test files that are left to ask about it, but for some of their tests."""

    file: str
    mutant: Mutant
    tests: list[str]
    wrong: frozenset[str] = frozenset()

    def ended(self, end: str) -> Tried:
        return Tried(self.file, self.mutant, end)


def try_all(
    chosen: Sequence[tuple[str, Mutant]], tell: Callable[[Tried], None], processes: int = 2
) -> None:
    """Tell of each change how it ended, as soon as that is known."""
    jobs: deque[_Job] = deque()
    for file, mutant in chosen:
        job = _Job(file, mutant, reaching(file)[:MOST])
        if job.tests:
            jobs.append(job)
        else:
            tell(job.ended("not run"))
    cold: list[_Job] = []
    _in_pytest(Warm(lambda warm: _try_warm(warm, jobs, cold, tell, processes)))

    def try_cold(number: int) -> None:
        copy = copied(Path(folder, str(number)))
        for job in cold[number::processes]:
            tell(job.ended(_end(copy, job)))

    with TemporaryDirectory() as folder, ThreadPoolExecutor(processes) as pool:
        list(pool.map(try_cold, range(processes)))


def _in_pytest(plugin: Warm) -> None:
    """The tests' own folder is gone afterwards, so nobody may look for it."""
    environment = dict(os.environ)
    pytest.main(["-q", "-s", "-n0", "-p", "no:cacheprovider", *test_files()], plugins=[plugin])
    os.environ.clear()
    os.environ.update(environment)
    tempfile.tempdir = None


def _try_warm(
    warm: Warm,
    jobs: deque[_Job],
    cold: list[_Job],
    tell: Callable[[Tried], None],
    processes: int,
) -> None:
    working: dict[int, tuple[Child, _Job]] = {}
    sound: dict[str, bool] = {}
    while jobs or working:
        while jobs and len(working) < processes:
            job = jobs.popleft()
            child = warm.begin(job.file, job.mutant.text, job.tests[:FIRST], job.wrong)
            if child is None:
                cold.append(job)
            else:
                working[child.pid] = child, job
        if not working:
            break
        pid, _ = os.wait()
        child, job = working.pop(pid)
        end, passed, failed = child.ended()
        sound |= dict.fromkeys(passed, True)
        if failed and failed not in sound:
            sound[failed] = warm.passes(failed)
        if failed and not sound[failed]:
            jobs.appendleft(replace(job, wrong=job.wrong | {failed}))
        elif end == "survived" and job.tests[FIRST:]:
            jobs.appendleft(replace(job, tests=job.tests[FIRST:]))
        else:
            tell(job.ended(end))


def _end(copy: Path, job: _Job) -> str:
    """How it ends in a copy of the project."""
    path = copy / job.file
    before, times = path.read_bytes(), path.stat()
    path.write_text(job.mutant.text)
    try:
        end = "not run"
        for tests in (job.tests[:FIRST], job.tests[FIRST:]):
            if tests and end in ("not run", "survived"):
                end = _asked(copy, tests)
        return end
    finally:
        path.write_bytes(before)
        # Python compiles a file anew if its time or size has changed: so does a change's, and this.
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))


def _asked(copy: Path, tests: Sequence[str]) -> str:
    run = subprocess.Popen(
        [sys.executable, "-m", "pytest", "-q", "-x", "-n0", "-p", "no:cacheprovider", *tests],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        status = run.wait(10 * SECONDS)
    except subprocess.TimeoutExpired:
        os.killpg(run.pid, signal.SIGKILL)
        run.wait()
        return "hung"
    if status not in (0, 1, 2, 3, 4):
        raise SystemExit(f"pytest ended with {status}: {tests}")
    return "survived" if status == 0 else "killed"
