"""Try changes: each in a copy of the project, against the tests that run its line."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory

from tests.bench.mutation.covering import Covering
from tests.bench.mutation.mutants import Mutant, mutants_of
from tests.bench.mutation.rooms import ROOMS, ROOT, copied

SECONDS = 300.0
FEW = 14
"""How many tests each change is tried by. One that survives is tried by MANY."""
MANY = 150


@dataclass(frozen=True)
class Tried:
    """A change and how it ended: "killed", "survived", "not run" (no test runs its line).

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


def try_all(
    chosen: Sequence[tuple[str, Mutant]], covering: Covering, processes: int = 2
) -> Iterator[Tried]:
    """Each change as it ended, in the order of `chosen`."""
    with TemporaryDirectory() as folder, ThreadPoolExecutor(processes) as pool:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(processes):
            copies.put(copied(Path(folder, str(number))))

        def try_one(one: tuple[str, Mutant]) -> Tried:
            file, mutant = one
            tests = _nearest(file, covering.tests(file, mutant.line), covering.seconds)
            copy = copies.get()
            try:
                end = "not run"
                for some in (tests[:FEW], tests[FEW:]):
                    if some and end in ("not run", "survived"):
                        end = _end(copy, file, mutant, some)
                return Tried(file, mutant, end)
            finally:
                copies.put(copy)

        yield from pool.map(try_one, chosen)


def _nearest(file: str, tests: set[str], seconds: dict[str, float]) -> list[str]:
    """The tests of the file's own room first, spread over their files, the quickest of each."""
    room = f"tests/{Path(file).parts[1]}/"
    by_file: dict[str, list[str]] = defaultdict(list)
    for test in sorted(tests, key=lambda test: (seconds.get(test, 0.0), test)):
        by_file[test.split("::")[0]].append(test)
    order = sorted(by_file, key=lambda name: (not name.startswith(room), name))
    taken: list[str] = []
    while by_file and len(taken) < MANY:
        for name in order:
            if by_file.get(name):
                taken.append(by_file[name].pop(0))
        by_file = {name: rest for name, rest in by_file.items() if rest}
    return taken[:MANY]


def _end(copy: Path, file: str, mutant: Mutant, tests: Sequence[str]) -> str:
    path = copy / file
    before, times = path.read_bytes(), path.stat()
    path.write_text(mutant.text)
    run = subprocess.Popen(
        [sys.executable, "-m", "pytest", "-q", "-x", "-n0", "-p", "no:cacheprovider", *tests],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        status = run.wait(SECONDS)
    except subprocess.TimeoutExpired:
        os.killpg(run.pid, signal.SIGKILL)
        run.wait()
        return "hung"
    finally:
        path.write_bytes(before)
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))  # or it is compiled each time
    if status not in (0, 1, 2, 3, 4):
        raise SystemExit(f"pytest ended with {status}: {tests}")
    return "survived" if status == 0 else "killed"
