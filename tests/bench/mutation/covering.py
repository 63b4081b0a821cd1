"""Which tests run which line, and how long each takes: measured once and kept in a file."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.mutation.rooms import ROOT, copied

KEPT = ROOT / "out" / "mutation.json"
FOLDERS = ("derive", "review", "witness", "say", "actions")


@dataclass(frozen=True)
class Covering:
    """By file and line the tests that ran it, as pytest names them, and each test's seconds."""

    lines: dict[str, dict[str, list[str]]]
    seconds: dict[str, float]

    def tests(self, file: str, line: int) -> set[str]:
        """A table runs when its module is imported, in no test: then every test of the file."""
        lines = self.lines.get(file, {})
        return set(lines.get(str(line), ())) or set().union(*lines.values())


def measure(processes: int = 2) -> None:
    """Run the folders' tests once, in a copy like those that are changed, some in each process."""
    with TemporaryDirectory() as folder:
        copy = copied(Path(folder, "copy"))
        files = sorted(
            path.relative_to(copy)
            for name in FOLDERS
            for path in (copy / "tests" / name).rglob("test_*.py")
        )
        parts = [Path(folder, f"{number}.json") for number in range(processes)]
        running = [
            subprocess.Popen(
                [
                    *(sys.executable, "-m", "pytest", "-q", "-n0", "-p", "no:cacheprovider"),
                    *("-p", "tests.bench.mutation.mapping", "--hypothesis-profile=mutation"),
                    *("-m", "not long"),
                    *map(str, files[number::processes]),
                ],
                cwd=copy,
                env=os.environ | {"PYTHONPATH": str(copy), "WEIGHBOOK_MUTATION_MAP": str(part)},
            )
            for number, part in enumerate(parts)
        ]
        ended = [one.wait() for one in running]
        if any(status not in (0, 1) for status in ended):
            raise SystemExit(f"pytest ended with {ended}")
        KEPT.parent.mkdir(exist_ok=True)
        KEPT.write_text(json.dumps(_together([json.loads(part.read_text()) for part in parts])))


def _together(parts: list[dict[str, dict]]) -> dict[str, dict]:
    lines: dict[str, dict[str, list[str]]] = {}
    for part in parts:
        for file, of_file in part["lines"].items():
            for line, tests in of_file.items():
                lines.setdefault(file, {}).setdefault(line, []).extend(tests)
    return {"lines": lines, "seconds": {k: v for part in parts for k, v in part["seconds"].items()}}


def covering() -> Covering:
    """What `measure` kept."""
    return Covering(**json.loads(KEPT.read_text()))
