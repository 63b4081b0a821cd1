"""Signed notes (c2sp.org/signed-note): a text that people can read, with its signatures below.

    key name         not empty, no space, no plus sign; may look like official@origin
    signature type   one byte: 0x01 Ed25519 over the text, 0x04 a cosignature with its time
    key id           first 4 bytes of SHA-256(key name || 0x0A || signature type || public key)
    verifier key     one line to give others a public key (vkey):
                     key name + "+" + key id as 8 hex digits + "+" + base64(type || public key)

The note is UTF-8 without control characters other than newline:

    the text, ending in a newline
    (one empty line, the LAST of the note: the text may have empty lines too)
    — <key name> <base64(key id || signature)>
    (more such lines, in any order)

Signatures by unknown keys are kept and prove nothing. Reading is strict: writing a note again gives
the same bytes. Base64 is RFC 4648 section 4, padded, in its canonical form.

>>> key = parse_verifier_key(
...     "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k")
>>> note = parse_note('''This is an example message.
...
... — example.com/foo \
Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=
... '''.encode())
>>> [known.name for known in check_note(note, [key])]
['example.com/foo']
"""

from __future__ import annotations

import re
from base64 import b64decode, b64encode
from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256

from ledger.chain.keys import KEY_BYTES, check_signature, public_key, sign
from ledger.errors import InputError, IntegrityError

ED25519 = 0x01
COSIGNATURE = 0x04
KEY_ID_BYTES = 4

MOST_BYTES = 1_000_000
MOST_SIGNATURES = 100
"""The specification asks for a limit of at least 16."""

_KEY_ID = re.compile(r"[0-9a-f]{8}")
_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f]")
_DASH = "— "


@dataclass(frozen=True, slots=True)
class VerifierKey:
    """A public key (32 bytes) with its name and signature type.

    Raises InputError for a name or key that a note cannot carry.
    """

    name: str
    public: bytes
    kind: int = ED25519

    def __post_init__(self) -> None:
        _refuse_name(self.name)
        if self.kind not in (ED25519, COSIGNATURE):
            raise InputError(f"unknown signature type {self.kind}")
        if len(self.public) != KEY_BYTES:
            raise InputError(f"a public key has {KEY_BYTES} bytes, not {len(self.public)}")

    @property
    def key_id(self) -> bytes:
        """The 4 bytes before each signature of this key; not a strong hash."""
        described = self.name.encode() + b"\n" + bytes([self.kind]) + self.public
        return sha256(described).digest()[:KEY_ID_BYTES]


@dataclass(frozen=True, slots=True)
class NoteSignature:
    """One signature line: key id of 4 bytes, and a signature in the form of its key."""

    name: str
    key_id: bytes
    signature: bytes

    def is_by(self, key: VerifierKey) -> bool:
        """Return whether the line names this key (not: whether it is valid)."""
        return self.name == key.name and self.key_id == key.key_id


@dataclass(frozen=True, slots=True)
class Note:
    """A text and its signatures in the order of the lines, unchecked."""

    text: str
    signatures: tuple[NoteSignature, ...]

    @property
    def text_bytes(self) -> bytes:
        """The bytes that a key signs; InputError for text that is not Unicode."""
        try:
            return self.text.encode()
        except UnicodeEncodeError as error:
            raise InputError("the note is not Unicode text") from error


def parse_note(data: bytes) -> Note:
    """Read a note; InputError, with the line, for anything else."""
    if len(data) > MOST_BYTES:
        raise InputError(f"a note of more than {MOST_BYTES:,} bytes")
    try:
        whole = data.decode()
    except UnicodeDecodeError as error:
        raise InputError("the note is not UTF-8 text") from error
    if _CONTROL.search(whole):
        raise InputError("the note has a control character other than newline")
    split = whole.rfind("\n\n")
    if split < 0 or not whole.endswith("\n"):
        raise InputError(
            "the note has no empty line between text and signatures, or no newline at its end",
            hint="Use the file as you got it. An editor may have cut its last line.",
        )
    text, below = whole[: split + 1], whole[split + 2 : -1]
    lines = below.split("\n")
    if len(lines) > MOST_SIGNATURES:
        raise InputError(f"a note with more than {MOST_SIGNATURES} signatures")
    first = text.count("\n") + 2
    return Note(text, tuple(_parse_signature(line, first + n) for n, line in enumerate(lines)))


def format_note(note: Note) -> bytes:
    """Return the note's bytes; InputError if reading them would not give the same note."""
    for line in note.signatures:
        _refuse_name(line.name)
    lines = [
        f"{_DASH}{line.name} {format_base64(line.key_id + line.signature)}\n"
        for line in note.signatures
    ]
    data = note.text_bytes + b"\n" + "".join(lines).encode()
    if parse_note(data) != note:
        raise InputError("a note cannot carry this text or key name")
    return data


def sign_note(text: str, name: str, private: bytes) -> Note:
    """Sign the text, which ends in a newline, with an Ed25519 key of that name."""
    key = VerifierKey(name, public_key(private))
    signature = sign(private, Note(text, ()).text_bytes)
    note = Note(text, (NoteSignature(name, key.key_id, signature),))
    format_note(note)
    return note


def add_signature(note: Note, signature: NoteSignature) -> Note:
    """Return the note with one more signature line at its end."""
    return replace(note, signatures=(*note.signatures, signature))


def check_note(note: Note, keys: Sequence[VerifierKey]) -> tuple[VerifierKey, ...]:
    """Return those of the keys that signed the text, at least one.

    Raises IntegrityError if none did, or if any line of a known key is false. For keys of type
    0x01; `ledger.chain.cosignature` checks those of type 0x04.
    """
    if any(key.kind != ED25519 for key in keys):
        raise InputError("a cosigner's key does not sign a note's text")
    signed = []
    for key in keys:
        mine = [line for line in note.signatures if line.is_by(key)]
        for line in mine:
            check_signature(key.public, note.text_bytes, line.signature)
        if mine:
            signed.append(key)
    if not signed:
        raise IntegrityError(
            "none of the known keys signed this note",
            hint="Ask for the verifier key of the ledger that made it.",
            field="signature",
            expected=", ".join(key.name for key in keys),
            found=", ".join(line.name for line in note.signatures),
        )
    return tuple(signed)


def format_verifier_key(key: VerifierKey) -> str:
    """Return the key as one line, to print or send (c2sp.org/signed-note, verifier keys)."""
    return f"{key.name}+{key.key_id.hex()}+{format_base64(bytes([key.kind]) + key.public)}"


def parse_verifier_key(line: str) -> VerifierKey:
    """Read a line of `format_verifier_key`; InputError for anything else."""
    # Base64 may have plus signs too, a name has none: the first two separate.
    parts = line.split("+", 2)
    if len(parts) != 3 or not _KEY_ID.fullmatch(parts[1]):
        raise InputError("not a verifier key (name+id+key)")
    described = parse_base64(parts[2])
    key = VerifierKey(parts[0], described[1:], described[0] if described else 0)
    if key.key_id.hex() != parts[1]:
        raise InputError(
            f"the verifier key of {key.name} has the wrong id",
            hint="A letter of the line was changed or lost. Copy it again.",
        )
    return key


def format_base64(data: bytes) -> str:
    """Return standard base64 with padding (RFC 4648 section 4)."""
    return b64encode(data).decode()


def parse_base64(text: str) -> bytes:
    """Return the bytes whose base64 is exactly `text`: no white space, no stray bits."""
    try:
        data = b64decode(text, validate=True)
    except ValueError as error:
        raise InputError("not base64") from error
    if format_base64(data) != text:
        raise InputError("base64 that is not in canonical form")
    return data


def _parse_signature(line: str, number: int) -> NoteSignature:
    name, space, encoded = line.removeprefix(_DASH).partition(" ")
    if not line.startswith(_DASH) or not space:
        raise InputError(f"line {number} of the note is not a signature line")
    _refuse_name(name)
    data = parse_base64(encoded)
    if len(data) <= KEY_ID_BYTES:
        raise InputError(f"line {number} of the note has no signature after the key id")
    return NoteSignature(name, data[:KEY_ID_BYTES], data[KEY_ID_BYTES:])


def _refuse_name(name: str) -> None:
    bad = any(letter.isspace() or letter == "+" or letter < " " for letter in name)
    try:
        name.encode()
    except UnicodeEncodeError:
        bad = True
    if bad or not name:
        raise InputError(
            f"{name!r} cannot be a key name",
            hint="A key name has no spaces and no plus sign, such as official@league.example.",
        )
