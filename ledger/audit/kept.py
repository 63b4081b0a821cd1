"""Checkpoints that somebody kept outside the ledger: a receipt, a paper, a bundle, a proof.

a signed note        the file is the checkpoint (receipt, or copied from a QR code)
PDF                  its attachments named checkpoint.txt or paper-checkpoint.txt
zip                  its entries named checkpoint.txt, in whatever folder (bundles: data/)
gzip                 a proof: the note of each chain, and the earlier ones beside it
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
"""A paper's own checkpoint lies beside the one that an official cosigned, where it shows that."""
_PDF = b"%PDF-"
MOST_FILE_BYTES = 512 * 1024 * 1024
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_HINT = "Needed: a receipt, a paper (PDF), a bundle (zip) or a proof that this program made."


class KeptNote(NamedTuple):
    """A checkpoint and the name of the file that it was kept in.

    Of a paper (`is_paper`) only the checkpoint is looked at, and nothing that is printed.
    """

    file: str
    note: Note
    checkpoint: Checkpoint
    is_paper: bool = False


def read_kept(path: Path) -> list[KeptNote]:
    """The checkpoints in a file, at least one; InputError when there is none to be read."""
    try:
        if path.stat().st_size > MOST_FILE_BYTES:
            raise InputError(f"{path}: more than {MOST_FILE_BYTES:,} bytes", hint=_HINT)
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path}: {error.strerror}", hint=_HINT) from error
    try:
        is_paper = data.startswith(_PDF)
        return [_kept(path.name, note, is_paper) for note in _notes(data)]
    except InputError as error:
        raise InputError(f"{path}: {error.message}", hint=error.hint or _HINT) from error


def _notes(data: bytes) -> list[bytes]:
    for mark, open_file in _READERS.items():
        if data.startswith(mark):
            notes = list(open_file(data))
            if not notes:
                raise InputError("there is no checkpoint in it", hint=_HINT)
            return notes
    return [data]


def _kept(file: str, data: bytes, is_paper: bool) -> KeptNote:
    note = parse_note(data)
    return KeptNote(file, note, parse_checkpoint(note.text), is_paper)


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
                        raise InputError(
                            f"{entry.filename} is packed in an unusual way", hint=_HINT
                        )
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
    except (
        OSError,
        EOFError,
        zlib.error,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
    ) as error:
        raise InputError("not a proof that can be read", hint=_HINT) from error


_READERS: dict[bytes, Callable[[bytes], Iterator[bytes]]] = {
    _PDF: _attachments,
    b"PK\x03\x04": _entries,
    b"\x1f\x8b": _proved,
}
"""By the first bytes of the file. A new carrier of checkpoints is a line here."""
