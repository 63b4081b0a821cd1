"""Checkpoints (c2sp.org/tlog-checkpoint): the state of one chain at one moment.

A checkpoint fixes every event up to a size. Anyone who keeps one can later demand a proof that
the ledger still has those events unchanged, so every paper that leaves shows one. Its text, each
line ending in a newline:

    origin      the ledger's league, season and chain; set when the ledger is made
    size        number of events, decimal, no leading zero, no sign ("0" for an empty ledger)
    root        base64 of the Merkle root over those events, 32 bytes
    extension   any further lines, not empty, signed with the rest. A paper's checkpoint has
                "weighbook-paper <hex>", the SHA-256 of its paper.json, and on a list
                "weighbook-list <hex>", the list's number (ledger.papers.press.paper_file)

It travels as a signed note. The name of the chain's key is the origin.

>>> from ledger.chain.note import parse_note, parse_verifier_key
>>> data = '''league.example/2026/office
... 8
... XcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=
...
... — league.example/2026/office \
E4lcwRQoqNHX95BXdRpYo+yP6lqsiUh215kaymM8XE7iYBeQAmUeViEc6yhzWErlvWr0BNPkIidCwztEV63g5jRkWwc=
... '''.encode()
>>> key = parse_verifier_key(
...     "league.example/2026/office+13895cc1+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea")
>>> check_checkpoint(parse_note(data), key)  # doctest: +ELLIPSIS
Checkpoint(origin='league.example/2026/office', size=8, root=b'...', extensions=())
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ledger.chain.hashing import HASH_BYTES
from ledger.chain.merkle import EMPTY_ROOT
from ledger.chain.note import (
    Note,
    VerifierKey,
    check_note,
    format_base64,
    parse_base64,
    sign_note,
)
from ledger.errors import InputError, IntegrityError

SIZE_LIMIT = 2**64
"""RFC 6962 section 3.5 keeps a tree's size in 64 bits."""

_SIZE = re.compile(r"0|[1-9][0-9]{0,19}")


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """Origin, number of events, and the Merkle root over them (32 bytes)."""

    origin: str
    size: int
    root: bytes
    extensions: tuple[str, ...] = ()


def format_checkpoint(checkpoint: Checkpoint) -> str:
    """Return the note text; InputError if reading it would not give the same checkpoint."""
    root = format_base64(checkpoint.root)
    lines = (checkpoint.origin, str(checkpoint.size), root, *checkpoint.extensions)
    text = "".join(f"{line}\n" for line in lines)
    if parse_checkpoint(text) != checkpoint:
        raise InputError("a checkpoint cannot carry this origin, size or root")
    return text


def parse_checkpoint(text: str) -> Checkpoint:
    """Read the checkpoint in a note's text (not the whole note); InputError if there is none."""
    lines = text.split("\n")
    if lines.pop() != "" or len(lines) < 3 or "" in lines:
        raise InputError("not a checkpoint (origin, size and root, a line each, none empty)")
    origin, size, encoded, *extensions = lines
    if not _SIZE.fullmatch(size) or int(size) >= SIZE_LIMIT:
        raise InputError(f"{size!r} is not a checkpoint's size (digits, no leading zero)")
    root = parse_base64(encoded)
    if len(root) != HASH_BYTES:
        raise InputError(f"a checkpoint's root has {HASH_BYTES} bytes, not {len(root)}")
    if size == "0" and root != EMPTY_ROOT:
        raise InputError("a checkpoint of no events has a root other than the empty tree's")
    return Checkpoint(origin, int(size), root, tuple(extensions))


def sign_checkpoint(checkpoint: Checkpoint, private: bytes) -> Note:
    """Return the checkpoint as a note signed by the chain's key, under the origin as its name.

    The caller must make sure that it continues every checkpoint signed before, as the
    specification demands.
    """
    return sign_note(format_checkpoint(checkpoint), checkpoint.origin, private)


def check_checkpoint(note: Note, key: VerifierKey) -> Checkpoint:
    """Return the checkpoint in this note, if `key` signed it and its origin is the key's name.

    Raises InputError if the text is not a checkpoint, IntegrityError if the key did not sign it
    or it is from another ledger.
    """
    check_note(note, [key])
    checkpoint = parse_checkpoint(note.text)
    if checkpoint.origin != key.name:
        raise IntegrityError(
            "the checkpoint is from another ledger",
            hint="Compare with a checkpoint of the same league, season and chain.",
            field="origin",
            expected=key.name,
            found=checkpoint.origin,
        )
    return checkpoint
