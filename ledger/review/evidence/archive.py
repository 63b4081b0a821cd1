"""Write the zip file of a bundle, and read a bundle from its zip or its unpacked folder.

The zip has one form only; anything else is refused.

Entries are not compressed: every machine writes the same bytes, and nothing swells when unpacked.
No times, comments or extra fields. First the regular files, each behind its header, then the
directory and its end (APPNOTE.TXT 4.3.7, 4.3.12, 4.3.16; from memory, compared with Python's
zipfile in the tests). Reading rebuilds every header and compares. That leaves no room for a second
directory, a link, or a hidden, encrypted or overlapping entry.
"""

from __future__ import annotations

import os
import re
import stat
import struct
from collections.abc import Mapping
from pathlib import Path
from zlib import crc32

from ledger.errors import InputError, IntegrityError

MOST_BYTES = 512 * 1024 * 1024
"""The most bytes of a whole bundle, which is read into memory."""

_PART = "[A-Za-z0-9_-](?:[A-Za-z0-9._-]{0,200}[A-Za-z0-9_-])?"
NAME = re.compile(f"{_PART}(?:/{_PART}){{0,5}}")
"""Paths that every system can unpack: no dot at either end, nothing that climbs."""

_LOCAL, _ENTRY, _END = "<4s5H3I2H", "<4s6H3I5H2I", "<4s4H2IH"
_VERSION, _DATE = 20, 0x21  # 2.0: folders; January 1, 1980, the earliest date
_MADE_BY = 3 << 8 | _VERSION  # Unix, so a file's mode follows
_FILE = 0o100644 << 16
_MOST_FILES = 5_000


def format_zip(files: Mapping[str, bytes]) -> bytes:
    """Return the zip of these files, by name, as bytes.

    Raises InputError for a bad name, or for more than `parse_zip` reads.
    """
    if len(files) > _MOST_FILES or sum(map(len, files.values())) > MOST_BYTES - 2**20:
        raise InputError(
            f"this bundle is larger than {MOST_BYTES:,} bytes or {_MOST_FILES:,} files",
            hint="Hand over large exhibits separately. The bundle proves them by their digest.",
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
    """Return the files in these bytes, by name, in their order.

    Raises InputError if this is not a zip, IntegrityError if `format_zip` did not write it.
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
        raise _other("its directory differs, or something was added to it")
    return files


def read_bundle(where: Path) -> dict[str, bytes]:
    """Return every file of the bundle by its path in the bag.

    Raises InputError if there is no bundle, IntegrityError if it contains what no bundle does: a
    link, a name that climbs, another folder.
    """
    if where.is_dir():
        return _read_folder(where)
    try:
        with where.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(f"{where}: cannot be read ({error.strerror})") from error
    if len(data) > MOST_BYTES:
        raise _too_large(where)
    files = parse_zip(data)
    folders = {name.partition("/")[0] for name in files}
    if len(folders) != 1 or not all("/" in name for name in files):
        raise IntegrityError("this zip must contain exactly one folder")
    return {name.partition("/")[2]: content for name, content in files.items()}


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
    """Return the local header and the directory's entry of a file whose header is at `begin`."""
    raw = name.encode()
    common = (_VERSION, 0, 0, 0, _DATE, crc32(content), len(content), len(content), len(raw), 0)
    local = struct.pack(_LOCAL, b"PK\3\4", *common)
    entry = struct.pack(_ENTRY, b"PK\1\2", _MADE_BY, *common, 0, 0, 0, _FILE, begin)
    return local + raw, entry + raw


def _refuse_names(names: list[str]) -> None:
    for name in names:
        if not NAME.fullmatch(name):
            raise InputError(f"{name!r} cannot be a name in a bundle")
    lowered = {name.lower() for name in names}
    if len(lowered) != len(names):
        raise InputError("two names differ only in capitals")
    folders = {name[: slash.start()].lower() for name in names for slash in re.finditer("/", name)}
    if folders & lowered:
        raise InputError("a file and a folder have the same name")


def _other(what: str) -> IntegrityError:
    return IntegrityError(
        f"weighbook did not write this zip: {what}",
        hint="If somebody only zipped it again, unpack it and check the folder instead.",
    )


def _read_folder(where: Path) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    room = MOST_BYTES
    for folder, folders, names in os.walk(where):
        for name in sorted(folders) + sorted(names):
            path = Path(folder, name)
            inside = path.relative_to(where).as_posix()
            mode = path.lstat().st_mode
            if stat.S_ISDIR(mode):
                if not any(path.iterdir()):
                    raise IntegrityError(f"{inside}: a bundle has no empty folder")
                continue
            if not stat.S_ISREG(mode) or not NAME.fullmatch(inside):
                raise IntegrityError(f"{inside!r}: not a file of a bundle")
            room -= path.stat().st_size
            if room < 0:
                raise _too_large(where)
            files[inside] = path.read_bytes()
    return files


def _too_large(where: Path) -> InputError:
    return InputError(f"{where}: a bundle has at most {MOST_BYTES:,} bytes")
