"""Following every chain from its stored bytes, in two processes where a ledger is long."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from itertools import groupby
from multiprocessing import get_context
from pathlib import Path

from ledger.audit.links import ChainCheck
from ledger.audit.report import Problem
from ledger.audit.rows import RawEvent, open_to_read, read_events, read_range, whole_chains
from ledger.chain.hashing import BEGINNING
from ledger.chain.merkle import Frontier

Step = Callable[[int], None]
PROCESSES = 2
WORTH_PROCESSES = 50_000
_STEP = 1000


@dataclass
class Followed:
    """A chain as steps 1 and 2 found it; `roots` are Merkle roots by size, once asked for."""

    chain: str
    hashes: list[bytes] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    clock_back: list[int] = field(default_factory=list)
    roots: dict[int, bytes] = field(default_factory=dict)

    @property
    def length(self) -> int:
        return len(self.hashes)

    @property
    def head(self) -> bytes:
        return self.hashes[-1] if self.hashes else BEGINNING

    def grow_tree(self, sizes: Iterable[int]) -> None:
        """(3) The Merkle roots at these sizes and at the whole length, in one pass."""
        wanted = sorted({size for size in sizes if 0 < size <= self.length} | {self.length})
        tree = Frontier()
        begin = 0
        for size in wanted:
            for hashed in self.hashes[begin:size]:
                tree.add(hashed)
            self.roots[size] = tree.root()
            begin = size


def follow_chains(path: Path, on_step: Step, *, columns: bool = True) -> list[Followed]:
    """Steps 1 and 2 on every chain, by name. Without `columns` only bytes and links."""
    with open_to_read(path) as connection:
        lengths = whole_chains(connection)
        if sum(lengths.values()) < WORTH_PROCESSES:
            return _in_one(read_events(connection), on_step, columns)
    parts = [part for chain in sorted(lengths) for part in _parts(chain, lengths[chain])]
    followed: dict[str, Followed] = {chain: Followed(chain) for chain in sorted(lengths)}
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        work = [pool.submit(_follow_part, path, part, columns) for part in parts]
        for part, done in zip(parts, work, strict=True):
            joined, hashes, problems, clock_back = followed[part[0]], *done.result()
            joined.hashes += [hashes[n : n + 32] for n in range(0, len(hashes), 32)]
            joined.problems += problems
            joined.clock_back += clock_back
            on_step(len(hashes) // 32)
    return list(followed.values())


def _in_one(rows: Iterable[RawEvent], on_step: Step, columns: bool) -> list[Followed]:
    followed = []
    for chain, own in groupby(rows, key=lambda row: row.chain):
        check = ChainCheck(chain, columns=columns)
        problems: list[Problem] = []
        for count, row in enumerate(own, 1):
            problems += check.check(row)
            if count % _STEP == 0:
                on_step(_STEP)
        on_step(len(check.hashes) % _STEP)
        followed.append(Followed(check.chain, check.hashes, problems, check.clock_back))
    return followed


def _parts(chain: str, length: int) -> list[tuple[str, int, int]]:
    """(chain, first seq, last seq) of parts that two processes take in turn."""
    size = max(WORTH_PROCESSES // 2, -(-length // (4 * PROCESSES)))
    return [(chain, begin, min(begin + size - 1, length)) for begin in range(1, length + 1, size)]


def _follow_part(
    path: Path, part: tuple[str, int, int], columns: bool
) -> tuple[bytes, list[Problem], list[int]]:
    chain, first, last = part
    with open_to_read(path) as connection:
        before = next(read_range(connection, chain, first - 1, first - 1), None)
        check = ChainCheck(chain, before, columns=columns)
        problems = [
            problem
            for row in read_range(connection, chain, first, last)
            for problem in check.check(row)
        ]
    return b"".join(check.hashes), problems, check.clock_back
