"""Cosignatures (c2sp.org/tlog-cosignature, Ed25519): an official signs a checkpoint, with the time.

A cosignature says: at this time, this was the largest tree of this origin that I had seen, and it
continued every one I had seen before. The caller makes sure of that; this module only makes and
checks the signature. The signed text (type 0x04):

    cosignature/v1
    time 1679315147
    example.com/behind-the-sofa
    20852163
    CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=

Its last lines are the whole text of the note. After the key id, the note's signature line has the
time as 8 bytes (seconds since 1970-01-01T00:00:00Z, big-endian) and the signature's 64. The signed
bytes do not name the cosigner, so each cosigner needs a key of their own.

>>> from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
>>> from ledger.chain.keys import make_key
>>> from ledger.chain.note import add_signature
>>> ledger, official = make_key(), make_key()
>>> note = sign_checkpoint(Checkpoint("league.example/2026", 1, bytes(32)), ledger.private)
>>> name = "off-1@league.example/2026"
>>> note = add_signature(note, cosign_note(note, name, official.private, time=1679315147))
>>> [found.time for found in check_cosignatures(note, [cosigner_key(name, official.public)])]
[1679315147]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.keys import SIGNATURE_BYTES, check_signature, public_key, sign
from ledger.chain.note import COSIGNATURE, Note, NoteSignature, VerifierKey
from ledger.errors import InputError, IntegrityError

TIME_LIMIT = 2**63
TIME_BYTES = 8


@dataclass(frozen=True, slots=True)
class Cosignature:
    """A checked cosignature: its key, and its time in seconds since 1970, UTC."""

    key: VerifierKey
    time: int


def cosigner_key(name: str, public: bytes) -> VerifierKey:
    """Return the verifier key of a cosigner (signature type 0x04)."""
    return VerifierKey(name, public, COSIGNATURE)


def cosign_note(note: Note, name: str, private: bytes, *, time: int) -> NoteSignature:
    """Return the line with which `name` cosigns the checkpoint in this note.

    `time` is in seconds since 1970, UTC. Raises InputError for a text that is not a checkpoint
    and for a time out of range.
    """
    if not 0 <= time < TIME_LIMIT:
        raise InputError(f"{time} is not the time of a cosignature (seconds since 1970)")
    key = cosigner_key(name, public_key(private))
    signature = sign(private, _message(note, time))
    return NoteSignature(name, key.key_id, time.to_bytes(TIME_BYTES, "big") + signature)


def check_cosignatures(note: Note, keys: Sequence[VerifierKey]) -> tuple[Cosignature, ...]:
    """Return every cosignature by one of `keys`, in the order of the note.

    Lines by other keys are skipped. Raises IntegrityError for a false line of a known key,
    InputError if the text is not a checkpoint or a key is not a cosigner's.
    """
    if any(key.kind != COSIGNATURE for key in keys):
        raise InputError("only a cosigner's key can check a cosignature")
    parse_checkpoint(note.text)
    return tuple(
        Cosignature(key, _check_line(note, line, key))
        for line in note.signatures
        for key in keys
        if line.is_by(key)
    )


def _check_line(note: Note, line: NoteSignature, key: VerifierKey) -> int:
    time = int.from_bytes(line.signature[:TIME_BYTES], "big")
    if len(line.signature) != TIME_BYTES + SIGNATURE_BYTES or time >= TIME_LIMIT:
        raise IntegrityError(
            f"the cosignature of {key.name} has the wrong form",
            hint="Ask for the checkpoint again: from the ledger, or from the official.",
            field="cosignature",
            expected=f"{TIME_BYTES + SIGNATURE_BYTES} bytes",
            found=f"{len(line.signature)} bytes",
        )
    check_signature(key.public, _message(note, time), line.signature[TIME_BYTES:])
    return time


def _message(note: Note, time: int) -> bytes:
    parse_checkpoint(note.text)
    return f"cosignature/v1\ntime {time}\n".encode() + note.text_bytes
