"""Step 3: the tree of each chain, its own key, and every stored checkpoint."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from ledger.audit.links import ChainRead
from ledger.audit.report import Judged, Problem
from ledger.audit.rows import raw_bytes, read_first, readable
from ledger.audit.tree import Tree
from ledger.chain.checkpoint import Checkpoint, parse_checkpoint
from ledger.chain.keys import KEY_BYTES, public_key
from ledger.chain.note import (
    ED25519,
    Note,
    VerifierKey,
    check_note,
    parse_note,
    parse_verifier_key,
)
from ledger.errors import InputError, IntegrityError

Places = Set[tuple[str, int]]
"""Chains and sizes."""


@dataclass
class Chain:
    """A chain with its tree and its key, whose name is the chain's origin.

    `witnessed` is how many events the largest cosigned checkpoint covers. `names` has the number of
    each countersignature, and the lengths of other chains that it names.
    """

    name: str
    last_seq: int
    tree: Tree
    key: VerifierKey | None = None
    witnessed: int = 0
    names: list[tuple[int, dict[str, int]]] = field(default_factory=list)

    def check_checkpoint(self, checkpoint: Checkpoint, what: str) -> Iterator[Problem]:
        """Check that the checkpoint is of this chain; `what` says where it was found."""
        size = checkpoint.size
        if size > self.last_seq:
            how = f"{what} covers {size:,} events; the chain has {self.last_seq:,}"
            yield Problem(self.name, self.last_seq, "cut tail", how)
        elif size > self.tree.size or self.tree.root(size) != checkpoint.root:
            how = f"{what} shows another history of the first {size:,} events"
            yield Problem(self.name, size, "fork", how)

    def check_signature(self, note: Note, size: int, what: str) -> Iterator[Problem]:
        """Check that the chain's own key signed the note."""
        if self.key is None:
            return
        try:
            check_note(note, [self.key])
        except IntegrityError as error:
            how = f"{what}: {error.message}"
            claimed = any(line.is_by(self.key) for line in note.signatures)
            yield Problem(self.name, size, "bad signature" if claimed else "unknown key", how)


class StoredNote(NamedTuple):
    """A readable row of the checkpoint table."""

    chain: str
    size: int
    note: Note
    checkpoint: Checkpoint


def make_chains(
    connection: sqlite3.Connection, read: Sequence[ChainRead], judged: Judged
) -> tuple[dict[str, Chain], list[Problem]]:
    """Return the chains by name, and what is wrong with their own keys.

    A chain's first event names its key. A first event in `judged` is skipped.
    """
    chains, problems = {}, []
    origins: dict[str, str] = {}
    for one in read:
        chain = Chain(one.chain, one.last_seq, Tree(one.hashes, one.blocks))
        chains[one.chain] = chain
        first = read_first(connection, one.chain)
        if first is None or (one.chain, 1) in judged:
            continue
        if first.kind != "chain_key":
            problems.append(_unknown(one.chain, "the chain does not begin with its own key"))
            continue
        chain.key, wrong = _key_of(one.chain, first.data)
        if chain.key and origins.setdefault(chain.key.name, one.chain) != one.chain:
            wrong = f"its origin is also the origin of the chain {origins[chain.key.name]}"
        problems += [_unknown(one.chain, wrong)] * bool(wrong)
    return chains, problems


def _key_of(name: str, data: Mapping[str, Any]) -> tuple[VerifierKey | None, str]:
    try:
        key = parse_verifier_key(str(data.get("key")))
    except InputError as error:
        return None, f"its key cannot be read: {error.message}"
    if key.kind != ED25519 or key.name != data.get("origin"):
        return None, "its key is not the key of its origin"
    if key.name.rpartition("/")[2] != name:
        return key, "its origin names another chain"
    return key, ""


def check_own_keys(
    connection: sqlite3.Connection, chains: Mapping[str, Chain]
) -> Iterator[Problem]:
    """Check that each chain's private key, if the file has it, is the one it began with.

    Officials' keys are sealed: only the passphrase shows whether they are right.
    """
    own = {chain.key.name: chain for chain in chains.values() if chain.key}
    for name, private in connection.execute("select name, sealed from key order by name"):
        chain = own.get(name) if isinstance(name, str) else None
        if chain is None or chain.key is None:
            continue
        is_key = isinstance(private, bytes) and len(private) == KEY_BYTES
        if not is_key or public_key(private) != chain.key.public:
            yield _unknown(chain.name, "the private key in the file is not the chain's")


def check_other_keys(
    connection: sqlite3.Connection, chains: Mapping[str, Chain], officials: Collection[VerifierKey]
) -> Iterator[Problem]:
    """Check that every other private key in the file belongs to an official's key event.

    Skip this if a chain's own key is unknown, which is a problem already: it could be that one.
    """
    if not all(chain.key for chain in chains.values()):
        return
    known = {key.name for key in officials}
    known |= {chain.key.name for chain in chains.values() if chain.key}
    for name, sealed in connection.execute("select name, sealed from key order by name"):
        if name not in known:
            what = f"no event names {readable(name)}, whose private key is in the file"
            yield Problem.of_file("unknown key", what)
        elif not isinstance(sealed, bytes):
            yield Problem.of_file(
                "unknown key", f"the private key of {name} is not stored as bytes"
            )


def read_checkpoints(
    connection: sqlite3.Connection, chains: Mapping[str, Chain], late: Places = frozenset()
) -> tuple[list[StoredNote], list[Problem]]:
    """Return every stored checkpoint, and what is wrong with the rows themselves.

    In each chain they grow. Those of the places in `late` stand anywhere, each once: a phone
    cosigns when it is back, and larger ones may have come in by then.
    """
    notes, problems, expected = [], [], 1
    there: set[tuple[str, int]] = set()
    order: dict[str, int] = {}
    query = "select position, chain, size, note from checkpoint order by position"
    for position, name, size, text in connection.execute(query):
        chain = chains.get(name) if isinstance(name, str) else None
        what = f"checkpoint {position!r}"
        at = (readable(name), size if type(size) is int else None)
        if position != expected:
            problems.append(Problem(*at, "gap", f"checkpoint {expected} is missing or was moved"))
        expected = position + 1 if type(position) is int else expected
        if chain is None:
            problems.append(Problem(*at, "altered", f"{what} belongs to no chain"))
            continue
        try:
            if not isinstance(text, str):
                raise InputError("its note is not stored as text")
            note = parse_note(raw_bytes(text))
            checkpoint = parse_checkpoint(note.text)
        except InputError as error:
            how = f"{what} is not a checkpoint: {error.message}"
            problems.append(Problem(*at, "altered", how))
            continue
        if checkpoint.size != size:
            problems.append(Problem(*at, "altered", f"{what} does not have the size in its row"))
        if chain.key and checkpoint.origin != chain.key.name:
            problems.append(Problem(*at, "altered", f"{what} is not for the chain in its row"))
        place = (chain.name, checkpoint.size)
        if place in there or (place not in late and checkpoint.size < order.get(chain.name, 0)):
            how = f"{what} comes after one that covers as many events or more"
            problems.append(Problem(*at, "reordered", how))
        there.add(place)
        if place not in late:
            order[chain.name] = checkpoint.size
        notes.append(StoredNote(chain.name, checkpoint.size, note, checkpoint))
    return notes, problems


def check_checkpoint(chain: Chain, stored: StoredNote) -> Iterator[Problem]:
    """Check root and the chain's own signature of a stored checkpoint."""
    what = "a stored checkpoint"
    yield from chain.check_checkpoint(stored.checkpoint, what)
    yield from chain.check_signature(stored.note, stored.size, what)


def _unknown(chain: str, detail: str) -> Problem:
    return Problem(chain, 1, "unknown key", detail)
