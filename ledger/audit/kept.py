"""Step 7: read the checkpoints in a file that someone kept: a receipt, paper, bundle or proof.

a signed note        the file is the checkpoint (receipt, or copied from a QR code)
PDF                  attachments named checkpoint.txt or paper-checkpoint.txt
zip                  entries named checkpoint.txt in any folder, and entries in checkpoints/
gzip                 a proof: each chain's note and the earlier ones beside it
JSON                 what a phone kept when it refused another ledger: the notes it had seen before
"""

from __future__ import annotations

import gzip
import io
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import orjson

from ledger.chain.checkpoint import Checkpoint, parse_checkpoint
from ledger.chain.note import MOST_BYTES, Note, parse_note
from ledger.errors import InputError

NAME, FOLDER = "checkpoint.txt", "checkpoints"
IN_PAPERS = {NAME, "paper-checkpoint.txt"}
"""A paper has its own checkpoint, and also the cosigned one if it shows a signature."""
_PDF = b"%PDF-"
MOST_FILE_BYTES = 512 * 1024 * 1024
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_NO_PROOF = (OSError, EOFError, zlib.error, ValueError, KeyError, TypeError, AttributeError)
_HINT = "Give a receipt, paper (PDF), bundle (zip), proof or phone's file from weighbook."


class KeptNote(NamedTuple):
    """A checkpoint and the name of its file.

    For a paper (`is_paper`), the audit checks only the checkpoint, not the print.
    """

    file: str
    note: Note
    checkpoint: Checkpoint
    is_paper: bool = False


def read_kept(path: Path) -> list[KeptNote]:
    """Return the checkpoints in a file, at least one; InputError if none can be read."""
    try:
        if path.stat().st_size > MOST_FILE_BYTES:
            raise InputError(f"{path}: more than {MOST_FILE_BYTES:,} bytes", hint=_HINT)
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path}: {error.strerror}", hint=_HINT) from error
    try:
        is_paper = data.startswith(_PDF)
        notes = map(parse_note, _notes(data))
        return [KeptNote(path.name, one, parse_checkpoint(one.text), is_paper) for one in notes]
    except InputError as error:
        raise InputError(f"{path}: {error.message}", hint=error.hint or _HINT) from error


def _notes(data: bytes) -> list[bytes]:
    for mark, open_file in _READERS.items():
        if data.startswith(mark):
            notes = list(open_file(data))
            if not notes:
                raise InputError("no checkpoint in this file", hint=_HINT)
            return notes
    return [data]


def _attachments(data: bytes) -> Iterator[bytes]:
    import pikepdf

    try:
        with pikepdf.open(io.BytesIO(data)) as pdf:
            for key, spec in pdf.attachments.items():
                if IN_PAPERS & {key, spec.filename}:
                    yield spec.get_file().read_bytes()
    except (pikepdf.PdfError, pikepdf.DependencyError, ValueError, KeyError, TypeError) as error:
        raise InputError(f"the PDF cannot be read: {error}", hint=_HINT) from error


def _entries(data: bytes) -> Iterator[bytes]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as bundle:
            for entry in bundle.infolist():
                *_, folder, name = ("", *entry.filename.split("/"))
                if name == NAME or (folder == FOLDER and name):
                    if entry.compress_type not in _METHODS:
                        what = f"{entry.filename} is packed in an unusual way"
                        raise InputError(what, hint=_HINT)
                    with bundle.open(entry) as file:
                        yield file.read(MOST_BYTES + 1)
    except (zipfile.BadZipFile, zlib.error, RuntimeError, EOFError, ValueError) as error:
        raise InputError(f"the zip file cannot be read: {error}", hint=_HINT) from error


def _proved(data: bytes) -> Iterator[bytes]:
    try:
        with gzip.GzipFile(fileobj=io.BytesIO(data)) as file:
            proof = orjson.loads(file.read(MOST_FILE_BYTES))
        for chain in proof["chains"]:
            yield chain["note"].encode()
            for earlier in chain["earlier"]:
                yield earlier["note"].encode()
    except _NO_PROOF as error:
        raise InputError("the proof cannot be read", hint=_HINT) from error


def _seen(data: bytes) -> Iterator[bytes]:
    try:
        for chain in orjson.loads(data)["seen"].values():
            for note in (chain.get("cosigned"), chain.get("note")):
                if note is not None:
                    yield note.encode()
    except _NO_PROOF as error:
        raise InputError("the phone's file cannot be read", hint=_HINT) from error


_READERS: dict[bytes, Callable[[bytes], Iterator[bytes]]] = {
    _PDF: _attachments,
    b"PK\x03\x04": _entries,
    b"\x1f\x8b": _proved,
    b'{"weighbook":"other ledger"': _seen,
}
"""By the first bytes of the file. Add a new carrier of checkpoints here."""
