"""The audit of a ledger's file."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby
from pathlib import Path

from ledger.audit.links import ChainCheck
from ledger.audit.report import AuditReport, ChainState, Problem
from ledger.audit.rows import count_events, open_to_read, read_events
from ledger.chain.hashing import BEGINNING
from ledger.chain.merkle import root

Step = Callable[[int], None]
_STEP = 1000


def _unheard(count: int) -> None:
    """Nobody watches."""


def audit_file(path: Path, *, on_start: Step = _unheard, on_step: Step = _unheard) -> AuditReport:
    """Re-hash every event and follow every chain.

    `on_start` is told the number of events, `on_step` how many more were checked.
    """
    with open_to_read(path) as connection:
        stored = count_events(connection)
        on_start(stored)
        chains: list[ChainState] = []
        problems: list[Problem] = []
        for chain, rows in groupby(read_events(connection), key=lambda row: row.chain):
            check = ChainCheck(chain)
            for count, row in enumerate(rows, 1):
                problems += check.check(row)
                if count % _STEP == 0:
                    on_step(_STEP)
            hashes = check.hashes
            on_step(len(hashes) % _STEP)
            head = (hashes or [BEGINNING])[-1].hex()
            chains.append(ChainState(check.chain, len(hashes), head, root(hashes).hex()))
    return AuditReport(sum(chain.length for chain in chains), stored, chains, problems)
