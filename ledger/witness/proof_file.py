"""A proof as a file: gzip (RFC 1952) around its canonical JSON, always under the same ten bytes.

No name, time or system is written into the header, so that the same proof is the same file.
Unpacking stops at the largest proof there may be: a small file cannot fill the memory.
"""

from __future__ import annotations

import zlib

from ledger.errors import InputError, IntegrityError
from ledger.witness.proof import MOST_BYTES, Proof, format_proof, parse_proof

HEADER = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x02\xff"
"""Deflate, no flags, no time, slowest compression, unknown system (RFC 1952 section 2.3.1)."""

MOST_FILE_BYTES = MOST_BYTES


def pack_proof(proof: Proof) -> bytes:
    """The bytes of the file; InputError for a proof too large to be read again."""
    data = format_proof(proof)
    if len(data) > MOST_BYTES:
        hint = "Prove a game at a time."
        raise InputError(f"a proof of more than {MOST_BYTES:,} bytes", hint=hint)
    deflater = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return HEADER + deflater.compress(data) + deflater.flush() + _trailer(data)


def unpack_proof(data: bytes) -> Proof:
    """The proof in these bytes.

    Raises InputError when they are no proof file, IntegrityError for one that was damaged.
    """
    if data[: len(HEADER)] != HEADER:
        hint = "weighbook prove writes one; evidence bundles: weighbook evidence check."
        raise InputError("not a proof file of weighbook", hint=hint)
    if len(data) > MOST_FILE_BYTES:
        raise InputError(f"a proof file of more than {MOST_FILE_BYTES:,} bytes")
    inflater = zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        whole = inflater.decompress(data[len(HEADER) :], MOST_BYTES + 1)
    except zlib.error as error:
        raise _damaged() from error
    if len(whole) > MOST_BYTES:
        raise InputError(f"a proof of more than {MOST_BYTES:,} bytes")
    if not inflater.eof or inflater.unused_data != _trailer(whole):
        raise _damaged()
    return parse_proof(whole)


def _trailer(data: bytes) -> bytes:
    return zlib.crc32(data).to_bytes(4, "little") + len(data).to_bytes(4, "little")


def _damaged() -> IntegrityError:
    hint = "Get it again from whoever gave it out."
    return IntegrityError("the proof file was cut or changed on its way", hint=hint)
