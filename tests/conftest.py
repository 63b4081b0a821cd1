"""Fixtures of the whole suite: a tiny season folder to write, the sample season to copy.

What a run makes once for all its processes lies in a folder of its own (`tests.once`). Keys are
sealed at a small cost: what the real one does is for tests/chain/test_keys.py.
"""

from __future__ import annotations

import gc
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from ledger.chain import keys
from tests.once import FOLDER, made_once
from tests.tiny import load, write_folder

SAMPLE = Path(__file__).resolve().parents[1] / "sample_season"
SMALL_COST = 16
IN_MEMORY, ROOM = Path("/dev/shm"), 4 << 30

# A busy machine must not fail a test.
settings.register_profile("weighbook", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("weighbook")


def pytest_configure(config: pytest.Config) -> None:
    """The process that starts the others makes the folder that all of them find."""
    if hasattr(config, "workerinput"):
        return
    root = str(IN_MEMORY) if has_room(IN_MEMORY) else None
    made = tempfile.TemporaryDirectory(prefix="weighbook-tests-", dir=root)
    config.add_cleanup(made.cleanup)
    os.environ[FOLDER] = made.name
    if root:
        os.environ["PYTEST_DEBUG_TEMPROOT"] = root
        os.environ["TMPDIR"] = tempfile.tempdir = made.name


def has_room(folder: Path) -> bool:
    """Whether a run's files fit in: a disk is asked to write a thousand times, memory is not."""
    return folder.is_dir() and os.access(folder, os.W_OK) and shutil.disk_usage(folder).free > ROOM


def pytest_xdist_auto_num_workers() -> int:
    """Three processes for two processors: tests of the browser often wait."""
    return max(1, (os.cpu_count() or 1) * 3 // 2)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.get_closest_marker("long") is None)


def pytest_collection_finish() -> None:
    """What is there now stays: the collector of garbage need not look at it again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


@pytest.fixture(scope="session", autouse=True)
def keys_sealed_at_a_small_cost() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(keys, "SCRYPT_COST", SMALL_COST)
        yield


@pytest.fixture
def folder(tmp_path: Path) -> Callable[..., Path]:
    """`folder(**files)` writes a tiny season folder (`tests.tiny`), or changes it."""
    return lambda **files: write_folder(tmp_path / "season", **files)


@pytest.fixture(scope="session")
def sample_ledger() -> Path:
    """The sample season as a ledger that is only read."""
    return made_once("sample", lambda made: load(made / "sample.weighbook", SAMPLE)) / (
        "sample.weighbook"
    )


@pytest.fixture
def sample_copy(sample_ledger: Path, tmp_path: Path) -> Path:
    """The sample season as a ledger of the test's own."""
    return Path(shutil.copy(sample_ledger, tmp_path / "sample.weighbook"))


@pytest.fixture(scope="module")
def papers_set_once() -> Iterator[None]:
    """Equal pages give equal bytes (tests/papers/press/test_render.py): no page is set twice."""
    from ledger.papers.press import printing

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(printing, "print_html", _printing_once())
        yield


@cache
def _printing_once() -> Callable[[str, str], bytes]:
    from ledger.papers.press.printing import print_html

    return lru_cache(maxsize=200)(print_html)
