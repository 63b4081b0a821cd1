"""The second process of steps 1 and 2 proves its half of the rows and prints its findings.

    python -m ledger.audit.second FILE FIRST LAST

Standard output is a JSON list of runs, or null. Rejected: multiprocessing, which would run the
caller's main module again or copy a process that has threads.
"""

from __future__ import annotations

import subprocess
import sys
from base64 import b64decode, b64encode
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

import orjson

from ledger.audit.agree import Clock
from ledger.audit.forms import read_as_newest
from ledger.audit.quick import Run, prove_rows
from ledger.audit.rows import open_to_read


def begin_half(path: Path, first: int, last: int) -> Callable[[], list[Run] | None]:
    """Start to prove these rows in another process; call the result to wait for its answer."""
    command = [sys.executable, "-m", __name__, str(path.resolve()), str(first), str(last)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE)  # noqa: S603 - our own module

    def finish() -> list[Run] | None:
        with child:
            answer = child.communicate()[0]
        # If it failed for any reason, the audit looks at every row.
        return _parse(answer) if child.returncode == 0 else None

    return finish


def main(path: str, first: str, last: str) -> None:
    with open_to_read(Path(path)) as connection:
        read_as_newest(connection)
        runs = prove_rows(connection, int(first), int(last), lambda count: None)
    sys.stdout.buffer.write(_format(runs))


def _format(runs: list[Run] | None) -> bytes:
    if runs is None:
        return b"null"
    return orjson.dumps([
        asdict(run)
        | {"prev": run.prev.hex(), "hashes": b64encode(run.hashes).decode()}
        | {"blocks": [(block, root.hex()) for block, root in run.blocks.items()]}
        for run in runs
    ])  # fmt: skip


def _parse(answer: bytes) -> list[Run] | None:
    found = orjson.loads(answer)
    return found and [
        Run(
            one["chain"],
            one["seq"],
            bytes.fromhex(one["prev"]),
            Clock(**one["clock"]),
            bytearray(b64decode(one["hashes"])),
            {block: bytes.fromhex(root) for block, root in one["blocks"]},
        )
        for one in found
    ]


if __name__ == "__main__":
    main(*sys.argv[1:])
