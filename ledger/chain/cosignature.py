"""Cosignatures (c2sp.org/tlog-cosignature, Ed25519): an official signs a checkpoint, with the time.

A cosignature says: at this time, this was the largest tree of this origin that I had seen, and it
continued every one I had seen before. The signer's program has to make sure of that before it
signs; this module makes and checks the signature only. What is signed (type 0x04):

    cosignature/v1
    time 1679315147
    example.com/behind-the-sofa
    20852163
    CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=

The last lines are the whole text of the note. In the note's signature line stand, after the key
id, the time as 8 bytes (seconds since 1970-01-01T00:00:00Z, big-endian) and the signature's 64.
The signed bytes do not name the cosigner: one key belongs to one cosigner.

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
    """A cosignature that was checked: whose, and when (seconds since 1970, UTC)."""

    key: VerifierKey
    time: int


def cosigner_key(name: str, public: bytes) -> VerifierKey:
    """The verifier key of a cosigner (signature type 0x04)."""
    return VerifierKey(name, public, COSIGNATURE)


def cosign_note(note: Note, name: str, private: bytes, *, time: int) -> NoteSignature:
    """The signature line by which `name` cosigns the checkpoint in this note at `time`.

    `time` is in seconds since 1970, UTC. Raises InputError when the note's text is no checkpoint
    or the time is none.
    """
    if not 0 <= time < TIME_LIMIT:
        raise InputError(f"{time} is not a time of a cosignature (seconds since 1970)")
    key = cosigner_key(name, public_key(private))
    signature = sign(private, _message(note, time))
    return NoteSignature(name, key.key_id, time.to_bytes(TIME_BYTES, "big") + signature)


def check_cosignatures(note: Note, keys: Sequence[VerifierKey]) -> tuple[Cosignature, ...]:
    """Every cosignature by one of `keys`, in the order of the note; perhaps none.

    Lines of other keys are passed over. Raises IntegrityError for a false one under a known name
    and id, InputError when the note's text is no checkpoint or a key is no cosigner's.
    """
    if any(key.kind != COSIGNATURE for key in keys):
        raise InputError("a key that is not a cosigner's cannot check a cosignature")
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
            f"the cosignature of {key.name} has not the form of one",
            hint="Get the checkpoint again from the ledger or from the official.",
            field="cosignature",
            expected=f"{TIME_BYTES + SIGNATURE_BYTES} bytes",
            found=f"{len(line.signature)} bytes",
        )
    check_signature(key.public, _message(note, time), line.signature[TIME_BYTES:])
    return time


def _message(note: Note, time: int) -> bytes:
    parse_checkpoint(note.text)
    return f"cosignature/v1\ntime {time}\n".encode() + note.text_bytes
