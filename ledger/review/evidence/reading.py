"""Read a bundle: the zip as it came, or the folder it was unpacked to."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from ledger.errors import InputError, IntegrityError
from ledger.review.evidence.archive import MOST_BYTES, NAME, parse_zip


def read_bundle(where: Path) -> dict[str, bytes]:
    """Every file of the bundle by its path in the bag.

    Raises InputError where there is no bundle, IntegrityError where something is in it that a
    bundle never has: a link, a name that climbs, another folder.
    """
    if where.is_dir():
        return _read_folder(where)
    try:
        with where.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise InputError(f"{where}: cannot be read ({error.strerror})") from error
    if len(data) > MOST_BYTES:
        raise InputError(f"{where}: a bundle has at most {MOST_BYTES:,} bytes")
    files = parse_zip(data)
    folders = {name.partition("/")[0] for name in files}
    if len(folders) != 1 or not all("/" in name for name in files):
        raise IntegrityError("this zip does not hold one folder, as a bundle does")
    return {name.partition("/")[2]: content for name, content in files.items()}


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
                    raise IntegrityError(f"{inside}: an empty folder is none of a bundle's")
                continue
            if not stat.S_ISREG(mode) or not NAME.fullmatch(inside):
                raise IntegrityError(f"{inside!r}: not a file of a bundle")
            room -= path.stat().st_size
            if room < 0:
                raise InputError(f"{where}: a bundle has at most {MOST_BYTES:,} bytes")
            files[inside] = path.read_bytes()
    return files
