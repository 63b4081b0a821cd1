"""Commands in processes of their own that may do only what the file's rights say.

The suite may run as root, who may write anywhere: root's child gives that up before it begins
(PR_CAPBSET_DROP of CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH, Linux's capabilities(7)).
"""

from __future__ import annotations

import ctypes
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
_PR_CAPBSET_DROP = 24
_RIGHTS_OF_ROOT = (1, 2)
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0

needs_rights = pytest.mark.skipif(
    IS_ROOT and sys.platform != "linux",
    reason="root may write anywhere here",
)


def give_up_rights() -> None:
    """In a child, before it becomes the command."""
    if IS_ROOT:
        libc = ctypes.CDLL(None, use_errno=True)
        for right in _RIGHTS_OF_ROOT:
            if libc.prctl(_PR_CAPBSET_DROP, right, 0, 0, 0):
                raise OSError(ctypes.get_errno(), "prctl")


def write_little() -> None:
    """As on a full disk: SQLite's index of a log (32 KiB) finds no room."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (16_000, resource.RLIM_INFINITY))


def weighbook(
    *words: object,
    cwd: Path,
    before: Callable[[], None] | None = None,
    environment: dict[str, str] | None = None,
) -> subprocess.CompletedProcess[str]:
    """`weighbook WORDS` in that folder; `before` runs in the child first."""
    return subprocess.run(
        [sys.executable, "-m", "ledger.commands", *map(str, words)],
        cwd=cwd,
        env=os.environ | {"PYTHONPATH": str(ROOT), "COLUMNS": "200"} | (environment or {}),
        preexec_fn=before,
        capture_output=True,
        text=True,
        timeout=120,
    )
