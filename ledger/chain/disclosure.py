"""Disclosures: personal text kept beside the chain, never in it (the form of RFC 9901).

A disclosure is the base64url text of a JSON array: salt, field, value. The event has only its
digest, so the chain still verifies after the text is deleted. The 128 random bits of salt keep
anyone from guessing a short name from its digest.

>>> disclosure = make_disclosure("name", "Möbius", salt="lklxF5jMYlGTPUovMNIvCA")
>>> open_disclosure(disclosure)
Disclosed(field='name', value='Möbius')
"""

from __future__ import annotations

import base64
import binascii
import os
from dataclasses import dataclass
from hashlib import sha256

import orjson

from ledger.errors import InputError

SALT_BYTES = 16
_URL_SAFE = bytes.maketrans(b"+/", b"-_")
"""RFC 4648 section 5, without padding. (base64.urlsafe_b64encode is three times as slow.)"""


@dataclass(frozen=True)
class Disclosed:
    """A read disclosure: `value` is the personal text of `field`."""

    field: str
    value: str


def new_salt() -> str:
    """Return 128 random bits as 22 characters of base64url (RFC 9901 section 4.2.1)."""
    return _encode(os.urandom(SALT_BYTES))


def make_disclosure(field: str, value: str, *, salt: str | None = None) -> str:
    """Return the disclosure of `value`, with a new salt unless one is given."""
    try:
        return _encode(orjson.dumps([salt or new_salt(), field, value]))
    except orjson.JSONEncodeError as error:
        raise InputError(f"{field}: this text is not Unicode") from error


def digest_of(disclosure: str) -> str:
    """Return base64url(SHA-256(disclosure as ASCII)), no padding (RFC 9901 section 4.2.3)."""
    return _encode(sha256(disclosure.encode()).digest())


def open_disclosure(disclosure: str) -> Disclosed:
    """Read a disclosure; InputError for anything else."""
    try:
        padded = disclosure.encode("ascii") + b"=" * (-len(disclosure) % 4)
        parts = orjson.loads(base64.b64decode(padded, altchars=b"-_", validate=True))
    except (UnicodeEncodeError, binascii.Error, orjson.JSONDecodeError) as error:
        raise InputError("not a disclosure (base64url of a JSON array)") from error
    if not (isinstance(parts, list) and len(parts) == 3 and all(type(p) is str for p in parts)):
        raise InputError("not a disclosure of a field (salt, field, value)")
    return Disclosed(parts[1], parts[2])


def _encode(data: bytes) -> str:
    return binascii.b2a_base64(data, newline=False).translate(_URL_SAFE, b"=").decode()
