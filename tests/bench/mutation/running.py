"""Try changes: each in a copy of the project, against the tests that run its line."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory

from tests.bench.mutation.covering import ROOT
from tests.bench.mutation.mutants import Mutant, mutants_of

ROOMS = ("review", "derive", "witness", "say")
SECONDS = 120.0
MOST_TESTS = 14
_COPIED = ("ledger", "sql", "report_templates", "tests", "sample_season", "pyproject.toml")


@dataclass(frozen=True)
class Tried:
    """A change and how it ended: "killed", "survived", "not run" (no test runs its line)."""

    file: str
    mutant: Mutant
    end: str

    @property
    def key(self) -> str:
        """As it stands in `survivors.txt`; without the line's number, which moves."""
        return f"{self.file}: {self.mutant.what}"


def choose(count: int, seed: int) -> list[tuple[str, Mutant]]:
    """`count` changes spread over the rooms' files by how many each has, the same for a seed."""
    chosen = random.Random(seed)
    everything = [
        (path.relative_to(ROOT).as_posix(), mutant)
        for room in ROOMS
        for path in sorted((ROOT / "ledger" / room).rglob("*.py"))
        for mutant in mutants_of(path.read_text())
    ]
    return sorted(chosen.sample(everything, min(count, len(everything))), key=lambda one: one[0])


def try_all(
    chosen: Sequence[tuple[str, Mutant]],
    covered: Mapping[str, Mapping[int, set[str]]],
    processes: int = 2,
) -> Iterator[Tried]:
    """Each change as it ended, in the order of `chosen`."""
    with TemporaryDirectory() as folder, ThreadPoolExecutor(processes) as pool:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(processes):
            copies.put(_copy(Path(folder, str(number))))

        def try_one(one: tuple[str, Mutant]) -> Tried:
            file, mutant = one
            lines = covered.get(file, {})
            # A table runs when its module is imported, in no test: then every test of the file.
            own = lines.get(mutant.line) or set().union(*lines.values())
            tests = _nearest(file, own)
            if not tests:
                return Tried(file, mutant, "not run")
            copy = copies.get()
            try:
                return Tried(file, mutant, _end(copy, file, mutant, tests))
            finally:
                copies.put(copy)

        yield from pool.map(try_one, chosen)


def _copy(to: Path) -> Path:
    to.mkdir()
    for name in _COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, to / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, to / name)
    return to


def _nearest(file: str, tests: set[str]) -> list[str]:
    """The tests of the file's own room first; at most MOST_TESTS, spread over their files."""
    room = f"tests/{Path(file).parts[1]}/"
    by_file: dict[str, list[str]] = defaultdict(list)
    for test in sorted(tests):
        by_file[test.split("::")[0]].append(test)
    order = sorted(by_file, key=lambda name: (not name.startswith(room), name))
    taken: list[str] = []
    while by_file and len(taken) < MOST_TESTS:
        for name in order:
            if by_file.get(name):
                taken.append(by_file[name].pop(0))
        by_file = {name: rest for name, rest in by_file.items() if rest}
    return sorted(taken[:MOST_TESTS], key=lambda test: (not test.startswith(room), test))


def _end(copy: Path, file: str, mutant: Mutant, tests: Sequence[str]) -> str:
    path = copy / file
    before = path.read_bytes()
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
        return "killed"  # it hangs: whoever runs the tests sees that
    finally:
        path.write_bytes(before)
    if status not in (0, 1, 2, 3, 4):
        raise SystemExit(f"pytest ended with {status}: {tests}")
    return "survived" if status == 0 else "killed"
