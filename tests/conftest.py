"""Fixtures of the whole suite: a tiny season folder to write, the sample season to copy."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.tiny import load, write_folder

SAMPLE = Path(__file__).resolve().parents[1] / "sample_season"


@pytest.fixture
def folder(tmp_path: Path) -> Callable[..., Path]:
    """`folder(**files)` writes a tiny season folder (`tests.tiny`), or changes it."""
    return lambda **files: write_folder(tmp_path / "season", **files)


@pytest.fixture(scope="session")
def sample_ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample season as a ledger that is only read."""
    path = tmp_path_factory.mktemp("sample") / "sample.weighbook"
    load(path, SAMPLE)
    return path


@pytest.fixture
def sample_copy(sample_ledger: Path, tmp_path: Path) -> Path:
    """The sample season as a ledger of the test's own."""
    return Path(shutil.copy(sample_ledger, tmp_path / "sample.weighbook"))
