"""Files that a ledger keeps whole: exhibits, redacted copies of them, scans of signed lists."""

from __future__ import annotations

from pathlib import Path

from ledger.errors import InputError

EXHIBIT_BYTES = 64 * 1024 * 1024
"""The largest file that is kept; a larger exhibit is stated by its digest alone."""


def read_given(file: Path, most: int = -1) -> bytes:
    """A file that is handed in, up to `most` bytes; InputError where it cannot be read."""
    try:
        with file.open("rb") as opened:
            return opened.read(most)
    except OSError as error:
        raise InputError(
            f"{file}: this file cannot be read ({error.strerror})",
            hint="Nothing was written. Give the path of the file that is handed in.",
        ) from error


def read_to_keep(file: Path) -> bytes:
    """A file that is to be kept; InputError where it cannot be read, or is too large."""
    content = read_given(file, EXHIBIT_BYTES + 1)
    if len(content) > EXHIBIT_BYTES:
        raise InputError(
            f"{file}: more than {EXHIBIT_BYTES:,} bytes are too many to keep",
            hint="Nothing was written. Give a smaller file, such as a scan in fewer colors.",
        )
    return content
