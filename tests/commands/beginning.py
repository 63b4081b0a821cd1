"""`weighbook begin` at a terminal: answers typed in order, and what was asked."""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence

import pytest

from tests.commands.conftest import Ran, Run


class Terminal(io.StringIO):
    """Standard input that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def typing(
    run: Run, monkeypatch: pytest.MonkeyPatch, answers: Sequence[str], *arguments: object
) -> Ran:
    """Run the command at a terminal where a person types these answers."""
    monkeypatch.setattr(sys, "stdin", Terminal("".join(f"{one}\n" for one in answers)))
    return run(*arguments)


def scripted(run: Run, monkeypatch: pytest.MonkeyPatch, *arguments: object) -> Ran:
    """Run the command where nobody can be asked."""
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    return run(*arguments)
