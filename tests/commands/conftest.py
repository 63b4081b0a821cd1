"""Running the command line as `weighbook` does, in the test's own folder."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from ledger.commands import main


class Ran(NamedTuple):
    """What a command gave: exit status, standard output, standard error."""

    status: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """`run("status", "--store", path)`, on a terminal of any width, without a ledger at hand."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("WEIGHBOOK_STORE", raising=False)
    monkeypatch.setenv("COLUMNS", "200")

    def running(*arguments: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["weighbook", *map(str, arguments)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as stopped:
            main()
        code = stopped.value.code
        return Ran(code if isinstance(code, int) else 0, *capsys.readouterr())

    return running
