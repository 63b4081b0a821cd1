"""Files that commands write: whole or not at all, and never in the place of what must stay.

1. No file gets a name of those that lie beside a ledger: SQLite would play it into the ledger.
2. A file that is there is replaced only where it is empty or begins as its own kind does, and may
   be written to. So a ledger stays, and a table that somebody typed; a receipt is never replaced,
   and neither is a link that leads nowhere.
3. A file appears whole or not at all. A pipe or a device, such as /dev/stdout, is written to as it
   is: there is nothing to replace.
4. Only the owner may read what is made here, whatever the umask: names may be in it.
"""

from __future__ import annotations

import errno
import os
import re
import secrets
import stat
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
    """A kind of file: what it is in a sentence, and how those begin that it may replace.

    `begins` is None where nothing is replaced.
    """

    name: str
    begins: re.Pattern[bytes] | None


PDF = Kind("a PDF", re.compile(rb"%PDF-"))
RECEIPT = Kind("a receipt", None)
_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""What a file system without hard links says, such as a stick's."""


def check_place(to: Path, kind: Kind) -> Path:
    """Where `to` is, by its real path; ReportError where no file of this kind may be written."""
    with _speaking(to):
        if is_stream(to):
            return to
        place = Path(os.path.realpath(to))
        if place.name.lower().endswith(BESIDE_A_LEDGER):
            hint = f"Name another file. So end: {', '.join(BESIDE_A_LEDGER)}."
            raise ReportError(f"{to}: a file of this name belongs to a ledger", hint=hint)
        if not place.parent.is_dir():
            if to.is_symlink():
                hint = f"It leads to {place}. Name another file."
                raise ReportError(f"{to} is a link into a folder that is not there", hint=hint)
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
        refuse_lost_link(to)
        try:
            mode = place.stat().st_mode
        except FileNotFoundError:
            if not os.access(place.parent, os.W_OK):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES)) from None
            return place
        if not stat.S_ISREG(mode):
            raise _no_file(to)
        if kind.begins is None:
            raise _taken(to, kind)
        if not os.access(place, os.W_OK):  # a rename would not ask
            hint = "It was left as it is. Name a new file, or take the protection away."
            raise ReportError(f"{to} is there already, and is write-protected", hint=hint)
        with place.open("rb") as file:
            head = file.read(_BEGINNING)
    if head and not kind.begins.match(head):
        what = "a database, as ledgers are" if head.startswith(_DATABASE) else f"not {kind.name}"
        hint = f"It was left as it is. Name a new file, or {kind.name} that may go."
        raise ReportError(f"{to} is there already, and is {what}", hint=hint)
    return place


def refuse_lost_link(to: Path) -> None:
    """ReportError where `to` is a link to something that is not there."""
    if to.is_symlink() and not to.exists():
        hint = f"It leads to {os.path.realpath(to)}. Remove the link, or name another place."
        raise ReportError(f"{to} is a link that leads nowhere", hint=hint)


def make_folder(folder: Path) -> None:
    """Make a folder, and those above it that are missing, for their owner only."""
    refuse_lost_link(folder)
    for path in reversed([folder, *folder.parents]):
        if not path.is_dir():
            path.mkdir(0o700)


def is_stream(to: Path) -> bool:
    """Whether this is a pipe or a device such as a terminal, and no file."""
    try:
        mode = to.stat().st_mode
    except FileNotFoundError:
        return False
    return stat.S_ISFIFO(mode) or stat.S_ISCHR(mode)


def is_standard_output(to: Path) -> bool:
    """Whether what is written there comes out where the command's own words do."""
    try:
        return os.path.samestat(to.stat(), os.fstat(1))
    except OSError:
        return False


def write_output(content: bytes, to: Path, kind: Kind) -> None:
    """Write a file; ReportError where that cannot or must not be."""
    with _speaking(to):
        if is_stream(to):
            with open(os.open(to, os.O_WRONLY), "wb") as stream:
                stream.write(content)
            return
    with replacing(to, kind) as part, part.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())  # a stick is pulled out as soon as it is said to be written


@contextmanager
def replacing(to: Path, kind: Kind) -> Iterator[Path]:
    """A new file beside `to`, to be written in the block; it becomes `to` if that ends well."""
    place = check_place(to, kind)
    if is_stream(place):
        raise _no_file(to)
    part = place.with_name(f".weighbook-{secrets.token_hex(4)}.part")
    with _speaking(to):
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
    """Give the whole file its name, which no other file may have.

    A rename would replace a file that another program has made since. Where a second name cannot
    be given, the name is taken first: only a program killed between the two leaves it empty.
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


def _no_file(to: Path) -> ReportError:
    return ReportError(f"{to} is there already, and is no file", hint="Name a new file.")


def _taken(to: Path, kind: Kind) -> ReportError:
    hint = "Name a new file and keep the old one: what it proves, nothing else may."
    return ReportError(f"{to} is there already, and {kind.name} replaces nothing", hint=hint)


@contextmanager
def _speaking(to: Path) -> Iterator[None]:
    """The operating system's errors as ours."""
    try:
        yield
    except OSError as error:
        raise ReportError(
            f"{to} cannot be written: {error.strerror}",
            hint="Name a file in a folder that exists and that you may write to.",
        ) from error
