"""What a whole run of tests makes once, whichever of its processes needs it first."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from functools import cache
from pathlib import Path

FOLDER = "WEIGHBOOK_TESTS_MADE"
"""The environment's name for the run's folder; tests/conftest.py makes it and takes it away."""


def made_once(name: str, make: Callable[[Path], None]) -> Path:
    """The folder `name` as `make` fills it: for reading, made anew by nobody while the run lasts.

    A process that needs it meanwhile waits. SQLite's lock goes with a process that dies.
    """
    made = _folder() / name
    with closing(sqlite3.connect(made.with_suffix(".lock"), timeout=600)) as lock:
        lock.execute("begin exclusive")
        if not made.is_dir():
            with tempfile.TemporaryDirectory(dir=made.parent) as unfinished:
                half = Path(unfinished) / name
                half.mkdir()
                make(half)
                half.rename(made)
    return made


@cache
def _folder() -> Path:
    if FOLDER in os.environ:
        return Path(os.environ[FOLDER])
    _HELD.append(tempfile.TemporaryDirectory(prefix="weighbook-tests-"))
    return Path(_HELD[0].name)


_HELD: list[tempfile.TemporaryDirectory[str]] = []
"""For a process without pytest: deleted with it."""
