"""Try changes of functions in children of one process that has collected the tests.

Nothing is imported anew: the child gives the function its new code and runs the tests. A change
of anything else, such as a table that is made on import, is not for here (`begin` returns None).
A result kept since the import can hide a change, but nothing can make up a kill: a test counts as
one that notices only once it has passed in another child.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from shutil import rmtree
from types import FunctionType

import pytest

from tests import once
from tests.bench.mutation.code import changed_code
from tests.bench.mutation.rooms import ROOMS, ROOT
from tests.tiny import load

SECONDS = 120
"""What a child may compute: a change can make it go around for ever."""
ENOUGH = 10
"""After so many seconds of computing it asks no further test."""
_TOLD = "told.json"


@dataclass(frozen=True)
class Child:
    """A child at work: its process, and the folder of its files."""

    pid: int
    folder: Path

    def ended(self) -> tuple[str, set[str], str]:
        """How it ended ("killed", "survived", "hung"), which tests passed and which failed."""
        told = self.folder / _TOLD
        passed, failed = json.loads(told.read_text()) if told.exists() else ([], None)
        rmtree(self.folder, ignore_errors=True)
        if failed is None:
            return "hung", set(), ""
        return "killed" if failed else "survived", set(passed), failed


class Warm:
    """A plugin for `pytest.main`: it does `work` with itself instead of running the tests."""

    def __init__(self, work: Callable[[Warm], None]) -> None:
        self._work = work
        self._functions: dict[tuple[str, str, int], list[FunctionType]] = defaultdict(list)
        self._items: dict[str, list[pytest.Item]] = defaultdict(list)
        self._passed: set[str] = set()
        self._failed = ""

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        for room in ROOMS:
            for path in (ROOT / "ledger" / room).rglob("*.py"):
                inside = path.relative_to(ROOT).with_suffix("")
                importlib.import_module(".".join(inside.parts).removesuffix(".__init__"))
        gc.unfreeze()  # or gc names nothing that was there when tests/conftest.py froze it
        for one in gc.get_objects():
            if isinstance(one, FunctionType):
                code = one.__code__
                place = (code.co_filename, code.co_qualname, code.co_firstlineno)
                self._functions[place].append(one)
        gc.freeze()
        for item in session.items:
            self._items[item.nodeid.partition("[")[0]].append(item)
            self._items[item.nodeid.partition("::")[0]].append(item)
        self._in_a_child(_load_sample)
        self._work(self)
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        name = report.nodeid.partition("[")[0]
        if report.failed:
            self._failed = name
        elif report.when == "call":
            self._passed.add(name)

    def passes(self, test: str) -> bool:
        """Whether it passes in a child without any change."""
        child = self._child(lambda: None, [test])
        os.waitpid(child.pid, 0)
        return child.ended()[0] == "survived"

    def begin(
        self, file: str, text: str, tests: Sequence[str], wrong: Collection[str] = ()
    ) -> Child | None:
        """Begin to ask these tests about a file's changed text; None if it is not for here.

        Those that are `wrong` fail without a change, too.
        """
        path = str(ROOT / file)
        found = changed_code((ROOT / file).read_text(), text, path)
        if found is None:
            return None
        was, code = found
        alike = self._functions[path, was.co_qualname, was.co_firstlineno]
        functions = [one for one in alike if one.__code__ == was]
        if not functions or was.co_freevars != code.co_freevars:
            return None

        def change() -> None:
            for one in functions:
                one.__code__ = code

        return self._child(change, tests, wrong)

    def _child(
        self, change: Callable[[], None], tests: Sequence[str], wrong: Collection[str] = ()
    ) -> Child:
        folder = Path(tempfile.mkdtemp(prefix="child-"))
        (folder / "sample").symlink_to(Path(os.environ[once.FOLDER]) / "sample")
        pid = os.fork()
        if pid:
            return Child(pid, folder)
        try:
            signal.setitimer(signal.ITIMER_PROF, SECONDS)
            signal.alarm(10 * SECONDS)
            _without_output()
            _own_folder(str(folder))
            change()
            self._run(tests, wrong)
            passed = sorted(self._passed - {self._failed})
            (folder / _TOLD).write_text(json.dumps([passed, self._failed]))
            os._exit(0)
        finally:
            os._exit(1)

    def _run(self, tests: Sequence[str], wrong: Collection[str]) -> None:
        before = time.process_time()
        items = list(dict.fromkeys(item for test in tests for item in self._items.get(test, ())))
        items = [item for item in items if item.nodeid.partition("[")[0] not in wrong]
        for item, after in zip(items, [*items[1:], None], strict=True):
            try:
                item.ihook.pytest_runtest_protocol(item=item, nextitem=after)
            except BaseException:  # what a test run ends with, such as KeyboardInterrupt
                self._failed = item.nodeid.partition("[")[0]
            if self._failed or time.process_time() - before > ENOUGH:
                return

    def _in_a_child(self, work: Callable[[], None]) -> None:
        """So that nothing it keeps is known here."""
        pid = os.fork()
        if pid:
            assert os.waitpid(pid, 0)[1] == 0
            return
        try:
            work()
            os._exit(0)
        finally:
            os._exit(1)


def _load_sample() -> None:
    once.made_once("sample", lambda made: load(made / "sample.weighbook", ROOT / "sample_season"))


def _without_output() -> None:
    nothing = os.open(os.devnull, os.O_RDWR)
    for number in range(3):
        os.dup2(nothing, number)


def _own_folder(folder: str) -> None:
    """What a changed program made is for no other child."""
    os.environ[once.FOLDER] = os.environ["TMPDIR"] = tempfile.tempdir = folder
    os.environ["PYTEST_DEBUG_TEMPROOT"] = folder
    once._folder.cache_clear()
