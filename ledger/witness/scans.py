"""Scans of papers: what a scanner or a telephone makes.

What is kept with a signature cannot be taken out of the ledger by mistake, so a roster or a letter
named by mistake is refused. Only the first bytes are looked at: people look at the rest.
"""

from __future__ import annotations

from ledger.errors import InputError

# First bytes: PDF by ISO 32000-2 7.5.2, PNG by RFC 2083 3.1, TIFF by its revision 6.0 section 2;
# JPEG, WebP (RFC 9649) and HEIC/HEIF (ISO 23008-12) from memory.
_BEGINNINGS = (b"%PDF-", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\0", b"MM\0*")
_BRANDS = (b"heic", b"heix", b"mif1", b"msf1")


def check_scan(content: bytes, name: str) -> None:
    """InputError when this is no picture or PDF."""
    is_webp = content[:4] == b"RIFF" and content[8:12] == b"WEBP"
    is_heif = content[4:8] == b"ftyp" and content[8:12] in _BRANDS
    if not (content.startswith(_BEGINNINGS) or is_webp or is_heif):
        hint = "Nothing was signed. A scan is a PDF, JPEG, PNG, TIFF, WebP or HEIC file."
        raise InputError(f"{name} is not a scan", hint=hint)
