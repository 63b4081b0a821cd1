"""A pytest plugin: which tests run which line of the rooms, and how long each test takes.

What a fixture runs belongs to the test's whole file, because the file's other tests may share it.
A test that does not pass is left out, and so is what it ran.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from pathlib import Path

import pytest
from coverage import Coverage
from hypothesis import HealthCheck, settings

from tests.bench.mutation.rooms import ROOMS, ROOT

INTO = "WEIGHBOOK_MUTATION_MAP"
"""The environment's name for the file to write."""
EXAMPLES = "mutation"

_FOLDERS = [str(ROOT / "ledger" / room / "*") for room in ROOMS]
_coverage = Coverage(data_file=None, include=_FOLDERS, config_file=False)
_coverage.start()
_seconds: dict[str, float] = defaultdict(float)
_failed: set[str] = set()

settings.register_profile(
    EXAMPLES, max_examples=5, deadline=None, suppress_health_check=list(HealthCheck)
)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    _coverage.switch_context(_file(item.nodeid))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_call(item: pytest.Item) -> None:
    _coverage.switch_context(_function(item.nodeid))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_teardown(item: pytest.Item) -> None:
    _coverage.switch_context(_file(item.nodeid))


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    for name in (_file(report.nodeid), _function(report.nodeid)):
        _seconds[name] += report.duration
        if report.outcome == "failed":
            _failed.add(name)


def pytest_sessionfinish() -> None:
    _coverage.stop()
    data = _coverage.get_data()
    lines = {
        Path(file).relative_to(ROOT).as_posix(): {
            line: [one for one in contexts if one and one not in _failed]
            for line, contexts in data.contexts_by_lineno(file).items()
        }
        for file in data.measured_files()
    }
    Path(os.environ[INTO]).write_text(json.dumps({"lines": lines, "seconds": _seconds}))


def _file(node: str) -> str:
    return node.partition("::")[0]


def _function(node: str) -> str:
    """The test with all its parameters: what stands in brackets may not be typed again."""
    return node.partition("[")[0]
