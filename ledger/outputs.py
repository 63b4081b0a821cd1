"""Write files for commands: whole or not at all, and never over a file of another kind.

1. No file gets the name of one beside a ledger: SQLite would play it into the ledger.
2. A file is replaced only if it is writable and empty, or begins as its kind does. So ledgers and
   typed tables stay. Nothing replaces a receipt, or a link that leads nowhere.
3. A pipe or a device, such as /dev/stdout, is written to directly.
4. Only the owner may read a new file, whatever the umask: it may have names in it.
"""

from __future__ import annotations

import errno
import os
import re
import secrets
import shutil
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import ReportError

BESIDE_A_LEDGER = ("-wal", "-shm", "-journal", ".building")
_BEGINNING = 64 * 1024
_DATABASE = b"SQLite format 3\0"


@dataclass(frozen=True)
class Kind:
    """A kind of file: its name in a sentence, and how files that it may replace begin.

    `begins` is None if it replaces nothing.
    """

    name: str
    begins: re.Pattern[bytes] | None


PDF = Kind("a PDF", re.compile(rb"%PDF-"))
RECEIPT = Kind("a receipt", None)
_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""Errors of a file system without hard links, such as a USB stick's."""


def check_place(to: Path, kind: Kind) -> Path:
    """Return the real path of `to`; ReportError if a file of this kind may not be written there."""
    with _translated(to):
        if is_stream(to):
            return to
        place = Path(os.path.realpath(to))
        if place.name.lower().endswith(BESIDE_A_LEDGER):
            hint = f"Choose a name without these endings: {', '.join(BESIDE_A_LEDGER)}."
            raise ReportError(f"{to}: a file with this ending belongs to a ledger", hint=hint)
        if not place.parent.is_dir():
            if to.is_symlink():
                hint = f"It leads to {place}. Choose another name."
                raise ReportError(f"{to} is a link into a missing folder", hint=hint)
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        refuse_lost_link(to)
        try:
            mode = place.stat().st_mode
        except FileNotFoundError:
            if not os.access(place.parent, os.W_OK):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES)) from None
            return place
        if not stat.S_ISREG(mode):
            raise _not_regular(to)
        if kind.begins is None:
            raise _taken(to, kind)
        if not os.access(place, os.W_OK):  # a rename would not ask
            hint = "It is unchanged. Choose a new name, or remove the protection."
            raise ReportError(f"{to} already exists and is write-protected", hint=hint)
        with place.open("rb") as file:
            head = file.read(_BEGINNING)
    if head and not kind.begins.match(head):
        what = "a database, like a ledger" if head.startswith(_DATABASE) else f"not {kind.name}"
        hint = f"It is unchanged. Choose a new name, or {kind.name} to replace."
        raise ReportError(f"{to} already exists and is {what}", hint=hint)
    return place


def refuse_lost_link(to: Path) -> None:
    """Raise ReportError if `to` is a link that leads nowhere."""
    if to.is_symlink() and not to.exists():
        hint = f"It leads to {os.path.realpath(to)}. Remove the link, or choose another place."
        raise ReportError(f"{to} is a link that leads nowhere", hint=hint)


@contextmanager
def appearing(to: Path) -> Iterator[Path]:
    """Yield a hidden folder that becomes `to` if the block succeeds, and is deleted if not.

    ReportError if `to` exists and is not an empty folder.
    """
    refuse_taken_folder(to)
    try:
        folder = Path(tempfile.mkdtemp(prefix=f".{to.name}.", suffix=".part", dir=to.parent))
        try:
            yield folder
            if to.exists():
                to.rmdir()
            folder.rename(to)
        except BaseException:
            shutil.rmtree(folder)
            raise
    except OSError as error:
        raise _no_folder(to, error) from error


def refuse_taken_folder(to: Path) -> None:
    """Raise ReportError if `to` exists and is not an empty folder, or is a link to nothing."""
    refuse_lost_link(to)
    try:
        is_taken = to.exists() and (not to.is_dir() or any(to.iterdir()))
    except OSError as error:
        raise _no_folder(to, error) from error
    if is_taken:
        raise ReportError(f"{to} already exists", hint="Name a new folder, or an empty one.")


def _no_folder(to: Path, error: OSError) -> ReportError:
    hint = "Name a new folder inside an existing one that you may write to."
    return ReportError(f"{to} cannot be written: {error.strerror}", hint=hint)


def make_folder(folder: Path) -> None:
    """Make a folder and its missing parents, for their owner only."""
    refuse_lost_link(folder)
    for path in reversed([folder, *folder.parents]):
        if not path.is_dir():
            path.mkdir(0o700)


def is_stream(to: Path) -> bool:
    """Return whether this is a pipe or a device, such as a terminal."""
    try:
        mode = to.stat().st_mode
    except FileNotFoundError:
        return False
    return stat.S_ISFIFO(mode) or stat.S_ISCHR(mode)


def is_standard_output(to: Path) -> bool:
    """Return whether `to` is this command's standard output."""
    try:
        return os.path.samestat(to.stat(), os.fstat(1))
    except OSError:
        return False


def write_output(content: bytes, to: Path, kind: Kind) -> None:
    """Write a file; ReportError if that fails or would replace a file of another kind."""
    with _translated(to):
        if is_stream(to):
            with open(os.open(to, os.O_WRONLY), "wb") as stream:
                stream.write(content)
            return
    with replacing(to, kind) as part, part.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())  # people pull a stick out as soon as they read "Wrote"


@contextmanager
def replacing(to: Path, kind: Kind) -> Iterator[Path]:
    """Yield a new file beside `to`; it becomes `to` if the block ends without an error."""
    place = check_place(to, kind)
    if is_stream(place):
        raise _not_regular(to)
    part = place.with_name(f".weighbook-{secrets.token_hex(4)}.part")
    with _translated(to):
        try:
            _make(part)
            yield part
            if kind.begins is None:
                _appear(part, place, to, kind)
            else:
                os.replace(part, place)
        finally:
            part.unlink(missing_ok=True)


def _make(path: Path) -> None:
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _appear(part: Path, place: Path, to: Path, kind: Kind) -> None:
    """Give the finished file its name, unless another file has that name.

    A rename would replace a file that another program just made. Without hard links, an empty file
    takes the name first; only a program killed between the two leaves it empty.
    """
    try:
        try:
            os.link(part, place)
        except OSError as error:
            if error.errno not in _NO_LINKS:
                raise
            _make(place)
            try:
                os.replace(part, place)
            except BaseException:
                place.unlink(missing_ok=True)
                raise
    except FileExistsError as error:
        raise _taken(to, kind) from error


def _not_regular(to: Path) -> ReportError:
    message = f"{to} already exists and is not a regular file"
    return ReportError(message, hint="Choose a new file name.")


def _taken(to: Path, kind: Kind) -> ReportError:
    keep = " Keep the old receipt; it still proves something." if kind is RECEIPT else ""
    hint = f"Choose a new file name.{keep}"
    return ReportError(f"{to} already exists, and {kind.name} never replaces a file", hint=hint)


@contextmanager
def _translated(to: Path) -> Iterator[None]:
    """Translate OSError into ReportError."""
    try:
        yield
    except OSError as error:
        raise ReportError(
            f"{to} cannot be written: {error.strerror}",
            hint="Choose a file in a folder that exists and that you may write to.",
        ) from error
