"""Pass lines of text to DuckDB in a file without a name.

DuckDB opens its input by path. The system gives open files a path (/proc/self/fd, /dev/fd), so the
file needs no name: it is gone when the process ends, in whatever way. Linux keeps it in memory.
Without such paths (Windows), the file has a name in the temporary folder while it is read; the
next command removes what killed processes (or earlier versions) left there over an hour ago.
"""

from __future__ import annotations

import os
import re
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import IO

OLD_SECONDS = 3600
"""Longer than any process takes to read its lines."""
_PREFIX, _NAME = "weighbook-", "events.ndjson"
_FOLDER = re.compile(r"weighbook-\w{8}")


@contextmanager
def passed(lines: Iterable[str]) -> Iterator[str]:
    """Yield the path of a file with these lines; read it inside the block."""
    remove_left_over()
    if hasattr(os, "memfd_create") and os.path.isdir("/proc/self/fd"):
        with open(os.memfd_create("lines"), "w", encoding="utf-8", newline="\n") as file:
            yield _filled(file, lines, f"/proc/self/fd/{file.fileno()}")
    elif os.path.isdir("/dev/fd"):
        with tempfile.TemporaryFile("w", encoding="utf-8", newline="\n") as file:
            yield _filled(file, lines, f"/dev/fd/{file.fileno()}")
    else:
        with tempfile.TemporaryDirectory(prefix=_PREFIX) as folder:
            path = Path(folder) / _NAME
            with path.open("w", encoding="utf-8", newline="\n") as file:
                _filled(file, lines, "")
            yield str(path)


def _filled(file: IO[str], lines: Iterable[str], path: str) -> str:
    file.writelines(lines)
    file.flush()
    return path


@cache  # once a process is enough
def remove_left_over() -> None:
    """Remove what this user's killed processes left in the temporary folder."""
    with suppress(OSError), os.scandir(tempfile.gettempdir()) as there:
        for entry in there:
            if _FOLDER.fullmatch(entry.name) and entry.is_dir(follow_symlinks=False):
                found = entry.stat(follow_symlinks=False)
                is_ours = not hasattr(os, "getuid") or found.st_uid == os.getuid()
                if is_ours and time.time() - found.st_mtime > OLD_SECONDS:
                    with suppress(OSError):  # a folder with anything else in it stays
                        (Path(entry.path) / _NAME).unlink(missing_ok=True)
                        os.rmdir(entry.path)
