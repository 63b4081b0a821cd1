"""The zip file of a bundle, which is written in one way only; anything else is refused.

Entries are stored, not compressed: the same bytes on every machine, and nothing swells when it
is unpacked. No times, comments or extra fields; regular files in a fixed order of names; local
headers, then the directory, then its end (APPNOTE.TXT 4.3.7, 4.3.12 and 4.3.16; from memory, and
held against Python's zipfile in the tests). Since reading rebuilds every header and compares,
there is no room for a second directory, a link, a hidden, encrypted or overlapping entry.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Mapping
from zlib import crc32

from ledger.errors import InputError, IntegrityError

MOST_BYTES = 512 * 1024 * 1024
"""Of a whole bundle; it is read into memory."""

_PART = "[A-Za-z0-9_-](?:[A-Za-z0-9._-]{0,200}[A-Za-z0-9_-])?"
NAME = re.compile(f"{_PART}(?:/{_PART}){{0,5}}")
"""Paths that every system unpacks as they are: no dot at either end, nothing that climbs."""

_LOCAL, _ENTRY, _END = "<4s5H3I2H", "<4s6H3I5H2I", "<4s4H2IH"
_VERSION, _DATE = 20, 0x21  # 2.0: folders; 1 January 1980, the earliest there is
_MADE_BY = 3 << 8 | _VERSION  # Unix, so that what follows is a file's mode
_FILE = 0o100644 << 16
_MOST_FILES = 5_000


def format_zip(files: Mapping[str, bytes]) -> bytes:
    """The bytes of the zip of these files, by name.

    Raises InputError for a name of another form, or for more than may be read again.
    """
    if len(files) > _MOST_FILES or sum(map(len, files.values())) > MOST_BYTES - 2**20:
        raise InputError(
            f"a bundle of more than {MOST_BYTES:,} bytes",
            hint="Hand large exhibits over by themselves: the bundle proves them by their digest.",
        )
    _refuse_names(list(files))
    local, directory, begin = bytearray(), bytearray(), 0
    for name, content in files.items():
        head, entry = _headers(name, content, begin)
        local += head + content
        directory += entry
        begin = len(local)
    count = len(files)
    end = struct.pack(_END, b"PK\5\6", 0, 0, count, count, len(directory), len(local), 0)
    return bytes(local + directory) + end


def parse_zip(data: bytes) -> dict[str, bytes]:
    """The files in these bytes, by name, in their order.

    Raises InputError when they are no zip, IntegrityError for one that is not written so.
    """
    if not data.startswith(b"PK\3\4"):
        raise InputError("not a zip file of an evidence bundle")
    files: dict[str, bytes] = {}
    at = 0
    while data.startswith(b"PK\3\4", at):
        name, content, length = _entry(data, at)
        if name in files:
            raise _other(f"{name} is in it twice")
        files[name] = content
        at += length
    try:
        written = format_zip(files)
    except InputError as error:
        raise _other(error.message) from error
    if written != data:
        raise _other("its directory is another, or something was added to it")
    return files


def _entry(data: bytes, at: int) -> tuple[str, bytes, int]:
    try:
        fields = struct.unpack_from(_LOCAL, data, at)
    except struct.error as error:
        raise _other("it was cut") from error
    _, _, flags, method, _, _, _, packed, size, name_bytes, extra = fields
    begin = at + struct.calcsize(_LOCAL)
    raw = data[begin : begin + name_bytes]
    name = raw.decode("ascii", "replace")
    if flags & 1:
        raise _other(f"{name} is encrypted")
    if method or packed != size:
        raise _other(f"{name} is compressed")
    if flags or extra or not NAME.fullmatch(name):
        raise _other(f"{name!r} is not an entry of a bundle")
    content = data[begin + name_bytes : begin + name_bytes + size]
    head, _ = _headers(name, content, 0)
    if head != data[at : at + len(head)]:
        raise _other(f"{name} was cut or changed")
    return name, content, len(head) + size


def _headers(name: str, content: bytes, begin: int) -> tuple[bytes, bytes]:
    """The local header and the directory's entry of a file whose header begins there."""
    raw = name.encode()
    sizes = (crc32(content), len(content), len(content))
    local = struct.pack(
        _LOCAL, b"PK\3\4", _VERSION, 0, 0, 0, _DATE, *sizes, len(raw), 0
    )  # fmt: skip
    entry = struct.pack(
        _ENTRY, b"PK\1\2", _MADE_BY, _VERSION, 0, 0, 0, _DATE, *sizes, len(raw), 0, 0, 0, 0,
        _FILE, begin,
    )  # fmt: skip
    return local + raw, entry + raw


def _refuse_names(names: list[str]) -> None:
    for name in names:
        if not NAME.fullmatch(name):
            raise InputError(f"{name!r} is not a name in a bundle")
    lowered = {name.lower() for name in names}
    if len(lowered) != len(names):
        raise InputError("two names that differ by capitals only")
    folders = {name[: slash.start()].lower() for name in names for slash in re.finditer("/", name)}
    if folders & lowered:
        raise InputError("a name that is a file's and a folder's")


def _other(what: str) -> IntegrityError:
    return IntegrityError(
        f"this zip is not as weighbook writes it: {what}",
        hint="If it was only packed anew, unpack it and check the folder instead.",
    )
