"""Processes that call the acceptance at once, about one game of the tiny season (`tests.tiny`).

python -m tests.many_writers LEDGER WHO COUNT     one of them: says ready, waits for a line, and
                                                  names each statement that was acknowledged
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from time import perf_counter

from ledger.record.reading import Place, read_statement
from ledger.record.times import zone
from ledger.store.opening import open_store
from ledger.store.recording import record_alone
from ledger.store.snapshot import Snapshot
from tests.tiny import says

ROOT = Path(__file__).resolve().parents[1]
GAME = {"game": "g1", "team": "ash"}


def line(who: str, number: int) -> dict[str, str]:
    """The statement of that number: a new child, who is weighed, then one by number and so on."""
    ref = f"{who}-{number}"
    child = f"{who}.{number - number % 3}"
    if number % 3 == 0:
        return says("enter_player", player=child, name="Bo Yarrow", ref=ref)
    if number % 3 == 1:
        return says("weigh", **GAME, player=child, value="ok", ref=ref)
    return says("initial", **GAME, number=1, value="ok", initials="QX", ref=ref)


def write_at_once(
    ledger: Path, writers: int, each: int, *, seconds: int
) -> tuple[dict[str, list[str]], float]:
    """The event ids that each writer was told, and how long it took; TimeoutExpired after so many
    seconds, AssertionError where a writer fails.
    """
    command = [sys.executable, "-m", "tests.many_writers", str(ledger)]
    children = {
        f"w{n}": subprocess.Popen(
            [*command, f"w{n}", str(each)],
            cwd=ROOT,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for n in range(writers)
    }
    try:
        for child in children.values():
            assert child.stdout is not None
            assert child.stdout.readline() == "ready\n"
        begin = perf_counter()
        for child in children.values():
            assert child.stdin is not None
            child.stdin.write("go\n")
            child.stdin.flush()
        told = {who: child.communicate(timeout=seconds) for who, child in children.items()}
        took = perf_counter() - begin
    finally:
        for child in children.values():
            if child.poll() is None:
                child.kill()
                child.communicate()
    assert not [errors for _, errors in told.values() if errors], told
    return {who: said.split() for who, (said, _) in told.items()}, took


def main(ledger: str, who: str, count: int) -> None:
    snapshot = Snapshot(open_store(ledger))
    lines = [read_statement(line(who, number), zone("UTC"), Place())[0] for number in range(count)]
    print("ready", flush=True)
    sys.stdin.readline()
    for statement in lines:
        assert statement is not None
        print(*record_alone(snapshot, [statement], chain="office"), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
