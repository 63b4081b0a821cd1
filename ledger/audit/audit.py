"""The audit of a ledger's file, in seven numbered steps, independent of the writer.

(1) bytes to hashes; (2) links, sequence, time order, columns; (3) the Merkle tree and every stored
checkpoint; (4) every signature, with the key in force; (5) every countersigned list, derived
again; (6) disclosures and exhibits against their digests; (7) what somebody kept outside.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from ledger.audit.checkpoints import Kept, check_kept, read_kept
from ledger.audit.follow import Followed, follow_chains
from ledger.audit.keys import KeyBook
from ledger.audit.lists import check_lists
from ledger.audit.personal import check_disclosures, check_exhibits
from ledger.audit.report import AuditReport, ChainState, Problem
from ledger.audit.rows import count_events, open_to_read, read_spoken
from ledger.audit.since import check_since, read_since

Step = Callable[[int], None]


def _unheard(count: int) -> None:
    """Nobody watches."""


def audit_file(
    path: Path,
    *,
    since: Sequence[Path] = (),
    on_start: Step = _unheard,
    on_step: Step = _unheard,
) -> AuditReport:
    """The report on a ledger, compared with every checkpoint in the files of `since`.

    `on_start` is told the number of events, `on_step` how many more were followed. Raises
    StoreError when the file cannot be read, InputError when one of `since` holds no checkpoint.
    """
    outside = [(file, *read_since(file)) for file in since]
    with open_to_read(path) as connection:
        stored = count_events(connection)
        on_start(stored)
        chains = {one.chain: one for one in follow_chains(path, on_step)}  # (1), (2)
        problems = [problem for one in chains.values() for problem in one.problems]
        kept, unreadable = read_kept(connection)
        spoken = list(read_spoken(connection))
        keys = KeyBook()
        keys.learn(spoken)
        sizes = [one.checkpoint.size for one in kept] + [note.size for _, _, note in outside]
        for one in chains.values():
            one.grow_tree(sizes)
        problems += unreadable + keys.problems
        problems += check_kept(kept, chains, keys)  # (3), (4)
        problems += check_lists(spoken)  # (5)
        problems += check_disclosures(connection, spoken)  # (6)
        problems += check_exhibits(connection, spoken)
        for file, note, checkpoint in outside:  # (7)
            problems += check_since(file, note, checkpoint, chains, keys)
    states = [
        ChainState(one.chain, one.length, one.head.hex(), one.roots[one.length].hex())
        for one in chains.values()
    ]
    return AuditReport(
        events=sum(one.length for one in chains.values()),
        stored=stored,
        chains=states,
        problems=_each_once(problems),
        notes=_notes(chains, kept),
        outside=len(outside),
        signatures=len(kept),
    )


def _each_once(problems: list[Problem]) -> list[Problem]:
    return list(dict.fromkeys(problems))


def _notes(chains: dict[str, Followed], kept: list[Kept]) -> list[str]:
    notes = []
    for one in chains.values():
        if one.clock_back:
            at = ", ".join(f"{one.chain}:{seq}" for seq in one.clock_back[:5])
            more = " and others" if len(one.clock_back) > 5 else ""
            notes.append(f"The clock had gone back at {at}{more}. That is no tampering by itself.")
        witnessed = max((k.checkpoint.size for k in kept if k.chain == one.chain), default=0)
        tail = one.length - min(witnessed, one.length)
        if tail:
            notes.append(
                f"Chain {one.chain}: the last {tail:,} events are not yet witnessed; whoever holds "
                "the device could still cut them off, unless somebody kept a paper made since."
            )
    return notes
