"""The rooms that are changed, and the copies in which that is done."""

from __future__ import annotations

import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
ROOMS = ("review", "derive", "witness", "say")
_COPIED = ("ledger", "sql", "report_templates", "tests", "sample_season", "pyproject.toml")


def copied(to: Path) -> Path:
    """A copy of the project; what Python compiled goes along."""
    to.mkdir()
    for name in _COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, to / name)
        else:
            shutil.copy(ROOT / name, to / name)
    return to
