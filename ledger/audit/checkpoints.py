"""Steps 3 and 4: stored checkpoints against the tree, signatures against the keys in force."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from ledger.audit.follow import Followed
from ledger.audit.keys import KeyBook
from ledger.audit.report import Problem
from ledger.audit.rows import as_bytes, readable
from ledger.chain.checkpoint import Checkpoint, check_checkpoint, parse_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.note import Note, parse_note
from ledger.errors import InputError, IntegrityError


class Kept(NamedTuple):
    """A checkpoint row that can be read: where it claims to belong, and what it says."""

    chain: str
    size: int
    note: Note
    checkpoint: Checkpoint


def read_kept(connection: sqlite3.Connection) -> tuple[list[Kept], list[Problem]]:
    """The stored checkpoints, and those that are none."""
    kept, problems = [], []
    for chain, size, text in connection.execute(
        "select chain, size, note from checkpoint order by position"
    ):
        name = readable(chain)
        try:
            note = parse_note(as_bytes(text))
            kept.append(Kept(name, size, note, parse_checkpoint(note.text)))
        except InputError as error:
            what = f"a stored checkpoint cannot be read: {error.message}"
            problems.append(Problem(name, size if type(size) is int else None, "altered", what))
    return kept, problems


def check_kept(
    kept: list[Kept], followed: Mapping[str, Followed], keys: KeyBook
) -> Iterator[Problem]:
    """The problems of every stored checkpoint and of every signature given with a key."""
    for one in kept:
        yield from _tree(one, followed)
        yield from _chain_signature(one, keys)
        yield from _cosignature(one, keys)
    covered = {f"{one.chain}:{one.checkpoint.size}" for one in kept}
    for event_id in sorted(keys.at_signature.keys() - covered):
        chain, seq = _place(event_id)
        yield Problem(chain, seq, "bad signature", "no cosigned checkpoint is kept for it")


def _tree(one: Kept, followed: Mapping[str, Followed]) -> Iterator[Problem]:
    """(3) size and root."""
    size = one.checkpoint.size
    if one.size != size:
        what = f"the row of the checkpoint says {one.size} events, the checkpoint {size}"
        yield Problem(one.chain, size, "altered", what)
    chain = followed.get(one.chain)
    if chain is None or size > chain.length:
        there = chain.length if chain else 0
        what = f"a checkpoint of {size} events was signed, and {there} are here"
        yield Problem(one.chain, there + 1, "cut tail", what)
    elif chain.roots.get(size) != one.checkpoint.root:
        what = f"the first {size} events are not those whose checkpoint was signed"
        yield Problem(one.chain, size, "altered", what)


def _chain_signature(one: Kept, keys: KeyBook) -> Iterator[Problem]:
    """(4) the chain's own signature, by the key that its first event names."""
    key = keys.chains.get(one.chain)
    if key is None:
        what = "a checkpoint of a chain whose key is not known"
        yield Problem(one.chain, one.checkpoint.size, "unknown key", what)
        return
    try:
        check_checkpoint(one.note, key)
    except (InputError, IntegrityError) as error:
        yield Problem(one.chain, one.checkpoint.size, "bad signature", error.message)


def _cosignature(one: Kept, keys: KeyBook) -> Iterator[Problem]:
    """(4) the official's cosignature, by the key in force at the countersignature."""
    seq = one.checkpoint.size
    event_id = f"{one.chain}:{seq}"
    if event_id not in keys.at_signature:
        what = "a cosigned checkpoint is kept, and its last event is no countersignature"
        yield Problem(one.chain, seq, "altered", what)
        return
    key = keys.at_signature[event_id]
    if key is None:
        what = "who signed had no key in force"
        yield Problem(one.chain, seq, "unknown key", what)
        return
    try:
        signed = check_cosignatures(one.note, [key])
    except (InputError, IntegrityError) as error:
        yield Problem(one.chain, seq, "bad signature", error.message)
        return
    if not signed:
        what = f"the checkpoint is not cosigned by {key.name}, the key in force"
        yield Problem(one.chain, seq, "unknown key", what)


def _place(event_id: str) -> tuple[str, int]:
    chain, _, seq = event_id.rpartition(":")
    return chain, int(seq)
