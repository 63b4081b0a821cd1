"""Which tests run which line: coverage.py with a context for each test function, kept in a file."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections import defaultdict
from functools import cache
from pathlib import Path

from coverage import Coverage, CoverageData

ROOT = Path(__file__).resolve().parents[3]
KEPT = ROOT / "out" / "mutation.coverage"
FOLDERS = ("derive", "review", "witness", "say", "actions")
_CONFIG = """\
[run]
source = ledger
dynamic_context = test_function
relative_files = true
"""


def measure(processes: int = 2) -> None:
    """Run the tests of the folders once under coverage, some files in each process."""
    files = sorted(
        path for folder in FOLDERS for path in (ROOT / "tests" / folder).rglob("test_*.py")
    )
    with tempfile.TemporaryDirectory() as folder:
        config = Path(folder, "coveragerc")
        config.write_text(_CONFIG)
        running = [
            subprocess.Popen(
                [
                    *(sys.executable, "-m", "coverage", "run", f"--rcfile={config}"),
                    *("-m", "pytest", "-q", "-n0", "-p", "no:cacheprovider"),
                    *map(str, files[part::processes]),
                ],
                cwd=ROOT,
                env=os.environ | {"COVERAGE_FILE": f"{folder}/part.{part}"},
            )
            for part in range(processes)
        ]
        ended = [one.wait() for one in running]
        if any(status not in (0, 1) for status in ended):
            raise SystemExit(f"pytest ended with {ended}")
        KEPT.parent.mkdir(exist_ok=True)
        whole = Coverage(data_file=str(KEPT), config_file=str(config))
        whole.combine([f"{folder}/part.{part}" for part in range(processes)])
        whole.save()


def tests_by_line() -> dict[str, dict[int, set[str]]]:
    """By file and line, the tests that ran it, as pytest names them: `x/test_y.py::test_z`."""
    data = CoverageData(str(KEPT))
    data.read()
    found: dict[str, dict[int, set[str]]] = defaultdict(dict)
    for file in data.measured_files():
        for line, contexts in data.contexts_by_lineno(file).items():
            nodes = {node for one in contexts if (node := _node(one))}
            found[file][line] = nodes
    return found


@cache
def _node(context: str) -> str:
    """`tests.say.test_x.test_y` or `…TestZ.test_y` as a node id; "" for what is no test."""
    parts = [part for part in context.split(".") if part]
    for end in range(len(parts), 0, -1):
        path = Path(*parts[:end]).with_suffix(".py")
        if (ROOT / path).is_file():
            return "::".join([path.as_posix(), *parts[end:]])
    return ""
