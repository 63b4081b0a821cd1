"""Let atheris look for bytes that make a parser fail other than with an error of ours.

    python -m tests.fuzz [SECONDS] [PARSER]...      (needs: pip install 'weighbook[bench]')

Each parser runs in a process of its own, for 60 seconds unless told. A failure prints its
traceback, leaves the bytes in a file (crash-…) and ends with status 1.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from contextlib import suppress
from pathlib import Path


def fuzz_one(name: str, seconds: str) -> None:
    """Runs until the time is over, and does not return."""
    import atheris

    with atheris.instrument_imports(include=["ledger"]):
        from ledger.errors import LedgerError
        from tests.fuzz.parsers import parsers
    parser = parsers()[name]

    def read(data: bytes) -> None:
        with suppress(LedgerError):
            parser.read(data)

    corpus = Path(tempfile.mkdtemp(prefix="weighbook-fuzz-"))
    for number, example in enumerate(parser.examples):
        (corpus / f"example-{number}").write_bytes(example)
    options = [f"-max_total_time={seconds}", "-print_final_stats=1", "-timeout=10", "-verbosity=1"]
    atheris.Setup([sys.argv[0], *options, str(corpus)], read)
    atheris.Fuzz()


def main(seconds: str, names: list[str]) -> int:
    from tests.fuzz.parsers import parsers

    failed = []
    for name in names or parsers():
        command = [sys.executable, "-m", "tests.fuzz", "--one", name, seconds]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        runs = [
            line.rpartition(" ")[2]
            for line in done.stderr.splitlines()
            if line.startswith("stat::number_of_executed_units")
        ]
        print(f"{name:14} {runs[0] if runs else '?':>9} inputs, status {done.returncode}")
        if done.returncode or not runs:
            failed.append(name)
            print(done.stdout[-2000:], done.stderr[-4000:], sep="\n")
    return 1 if failed else 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        fuzz_one(*sys.argv[2:])
    else:
        given = sys.argv[1:]
        seconds = given.pop(0) if given and given[0].isdigit() else "60"
        sys.exit(main(seconds, given))
