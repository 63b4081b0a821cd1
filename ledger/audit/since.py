"""Step 7: consistency with a checkpoint that somebody kept: a receipt, a paper, a bundle, a proof.

Whoever holds the ledger can rewrite it whole; they cannot rewrite what others took home.
"""

from __future__ import annotations

import gzip
import io
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from ledger.audit.follow import Followed
from ledger.audit.keys import KeyBook
from ledger.audit.report import Problem
from ledger.chain.checkpoint import Checkpoint, check_checkpoint, parse_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.note import Note, parse_note
from ledger.errors import InputError, IntegrityError

ATTACHED = "checkpoint.txt"
_MOST_BYTES = 64 << 20
_NOTE_BYTES = 1 << 20
_WHAT = "Needed: a receipt, a paper (PDF), a bundle (ZIP) or a proof that this program made."


def read_since(path: Path) -> tuple[Note, Checkpoint]:
    """The checkpoint in a file that somebody kept; InputError when there is none in it."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise InputError(f"{path}: too large to hold a checkpoint", hint=_WHAT)
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path}: cannot be read: {error.strerror}", hint=_WHAT) from error
    if data.startswith(b"%PDF"):
        data = _in_pdf(path, data)
    elif data.startswith(b"PK"):
        data = _in_zip(path, data)
    elif data.startswith(b"\x1f\x8b"):
        data = _in_proof(path, data)
    try:
        note = parse_note(data)
        return note, parse_checkpoint(note.text)
    except InputError as error:
        raise InputError(f"{path}: no checkpoint ({error.message})", hint=_WHAT) from error


def check_since(
    path: Path, note: Note, kept: Checkpoint, followed: Mapping[str, Followed], keys: KeyBook
) -> Iterator[Problem]:
    """How the ledger differs from what the kept checkpoint says it was."""
    chains = {key.name: chain for chain, key in keys.chains.items()}
    chain = chains.get(kept.origin)
    if chain is None:
        what = f"{path.name} is of another ledger: {kept.origin}"
        yield Problem("", None, "unknown key", what)
        return
    try:
        check_checkpoint(note, keys.chains[chain])
        check_cosignatures(note, list(keys.ever.values()))
    except (InputError, IntegrityError):
        what = f"{path.name} bears the signature of another key than this ledger names"
        yield Problem(chain, None, "unknown key", what)
    here = followed[chain]
    if kept.size > here.length:
        what = f"{path.name} was made of {kept.size} events, and {here.length} are here"
        yield Problem(chain, here.length + 1, "cut tail", what)
    elif kept.size and here.roots.get(kept.size) != kept.root:
        what = f"the first {kept.size} events are not those of which {path.name} was made"
        yield Problem(chain, kept.size, "altered", what)


def _in_pdf(path: Path, data: bytes) -> bytes:
    import pikepdf

    try:
        with pikepdf.open(io.BytesIO(data)) as document:
            return document.attachments[ATTACHED].get_file().read_bytes()
    except (pikepdf.PdfError, KeyError) as error:
        raise InputError(f"{path}: a PDF without a checkpoint attached", hint=_WHAT) from error


def _in_zip(path: Path, data: bytes) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as bundle:
            names = [name for name in bundle.namelist() if name.endswith(f"data/{ATTACHED}")]
            with bundle.open(names[0]) as file:
                return file.read(_NOTE_BYTES)
    except (zipfile.BadZipFile, IndexError, RuntimeError, NotImplementedError, EOFError,
            zlib.error, OSError) as error:  # fmt: skip
        raise InputError(f"{path}: a ZIP without a checkpoint in it", hint=_WHAT) from error


def _in_proof(path: Path, data: bytes) -> bytes:
    try:
        with gzip.GzipFile(fileobj=io.BytesIO(data)) as file:
            return str(json.loads(file.read(_MOST_BYTES))["checkpoint"]).encode()
    except (OSError, EOFError, zlib.error, ValueError, KeyError, TypeError) as error:
        raise InputError(f"{path}: no proof with a checkpoint in it", hint=_WHAT) from error
